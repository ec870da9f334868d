from __future__ import annotations

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("records", "0001_initial")]

    operations = [
        migrations.AddField(
            model_name="document",
            name="answered",
            field=models.JSONField(default=list, help_text="ids of other askings that it was the answer to"),
        ),
        migrations.AddField(
            model_name="document",
            name="erased_at",
            field=models.DateTimeField(blank=True, null=True),
        ),
        migrations.AddField(
            model_name="document",
            name="reason",
            field=models.CharField(blank=True, max_length=200),
        ),
        migrations.AddField(
            model_name="document",
            name="shows",
            field=models.JSONField(blank=True, help_text="whose names and which attachments are in it", null=True),
        ),
        migrations.AlterField(
            model_name="erasure",
            name="what",
            field=models.CharField(
                choices=[
                    ("attachment", "attachment"),
                    ("document", "document"),
                    ("person", "person"),
                    ("customer", "customer"),
                ],
                max_length=10,
            ),
        ),
    ]
