"""Start Django for a command: the data folder made, the settings read, the apps ready."""

from __future__ import annotations

import os
from pathlib import Path

from coldmark.bench.errors import Refused
from coldmark.records.folder import data_folder, prepare

SETTINGS = "coldmark.project.settings"


def start() -> None:
    """Make Django ready in this process; calling it again changes nothing."""
    import django  # heavy: only the commands that need records pay for it

    prepare(data_folder())
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", SETTINGS)
    django.setup()


def migrate() -> None:
    """Bring the database to this version's shape; quick when it already is.

    Raises
    ------
    Refused
        When a newer version has been here: this one would not know what it kept.
    """
    from django.core.management import call_command  # heavy, as above
    from django.db import connection
    from django.db.migrations.executor import MigrationExecutor

    kept = connection.settings_dict["NAME"]
    if isinstance(kept, Path):  # a file of ours, and its owner's alone even in a folder that others may look into
        os.close(os.open(kept, os.O_RDWR | os.O_CREAT, 0o600))
    # The command itself would check the whole project and renew every table's permissions at each start.
    executor = MigrationExecutor(connection)
    known, applied = executor.loader.disk_migrations, executor.loader.applied_migrations
    newer = sorted(name for app, name in applied if app == "records" and (app, name) not in known)
    if newer:
        raise Refused("serve.newer_database", name="data folder", value=newer[-1])
    if executor.migration_plan(executor.loader.graph.leaf_nodes()):
        call_command("migrate", interactive=False, verbosity=0)
