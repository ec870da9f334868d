"""Bringing a data folder up to date, and leaving alone what a newer version has changed."""

from __future__ import annotations

import pytest
from django.db import connection
from django.db.migrations.recorder import MigrationRecorder

from coldmark.bench.errors import Refused
from coldmark.cli import boot


@pytest.mark.django_db
def test_a_database_of_this_version_is_left_as_it_is() -> None:
    before = MigrationRecorder(connection).applied_migrations()
    boot.migrate()
    assert MigrationRecorder(connection).applied_migrations() == before


@pytest.mark.django_db
def test_a_newer_versions_database_is_refused_by_name() -> None:
    MigrationRecorder(connection).record_applied("records", "9999_from_tomorrow")
    with pytest.raises(Refused, match=r"newer version of Coldmark \(9999_from_tomorrow\)"):
        boot.migrate()
