from __future__ import annotations

import uuid

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

from coldmark.bench.closing import closing
from coldmark.bench.errors import ColdmarkError
from coldmark.bench.facts import parse


def closings(apps, schema_editor):
    """Make the codes of the jobs that were closed before there were codes."""
    rows = []
    for row in apps.get_model("records", "Fact").objects.filter(kind="job_closed").iterator():
        fact = parse(row.text, stored=True)
        if not fact.known:
            continue
        try:
            made = closing(fact.body["facts"])
        except ColdmarkError:
            continue
        rows.append({"fact": row.id, "code": made.bare, "sha256": made.sha256})
    table = apps.get_model("records", "ClosingRow")
    table.objects.bulk_create([table(**values) for values in rows], batch_size=500)


class Migration(migrations.Migration):
    dependencies = [("records", "0002_documents_erasable")]

    operations = [
        migrations.AddField(
            model_name="device",
            name="met_at",
            field=models.DateTimeField(blank=True, null=True),
        ),
        migrations.CreateModel(
            name="DeviceKey",
            fields=[
                ("id", models.UUIDField(default=uuid.uuid4, primary_key=True, serialize=False)),
                ("sha256", models.CharField(help_text="of the secret", max_length=64)),
                ("made_at", models.DateTimeField()),
                ("used_at", models.DateTimeField()),
                ("revoked_at", models.DateTimeField(blank=True, null=True)),
                (
                    "device",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="keys", to="records.device"
                    ),
                ),
                (
                    "person",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="keys",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={"indexes": [models.Index(fields=["device", "person"], name="key_device")]},
        ),
        migrations.CreateModel(
            name="ClosingRow",
            fields=[
                ("fact", models.UUIDField(primary_key=True, serialize=False)),
                ("code", models.CharField(max_length=17)),
                ("sha256", models.CharField(max_length=64)),
            ],
            options={
                "indexes": [
                    models.Index(fields=["code"], name="closing_code"),
                    models.Index(fields=["sha256"], name="closing_sha256"),
                ]
            },
        ),
        migrations.RunPython(closings, migrations.RunPython.noop),
    ]
