"""The database itself refuses to change or delete what is kept as evidence."""

from django.db import migrations

from commissioning.models.append_only import forbid_edit

TABLES = (
    "commissioning_event",
    "commissioning_dailyhead",
    "commissioning_snapshot",
    "commissioning_measurement",
    "commissioning_reading",
    "commissioning_judgement",
    "commissioning_photo",
)


class Migration(migrations.Migration):
    dependencies = [("commissioning", "0002_record_visits_evidence")]
    operations = [forbid_edit(table) for table in TABLES]
