"""The database itself refuses to change or delete weather once kept, as it does for the other records."""

from django.db import migrations

TABLE = "jobs_weathersource"
WORDS = "This record cannot be changed or deleted; make a new one that names it."

POSTGRES_FUNCTION = f"""
CREATE OR REPLACE FUNCTION refuse_weather_change() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN RAISE EXCEPTION '{WORDS}' USING ERRCODE = 'integrity_constraint_violation'; END $$
"""


def refuse_changes(apps, schema_editor):
    postgres = schema_editor.connection.vendor == "postgresql"
    if postgres:
        schema_editor.execute(POSTGRES_FUNCTION)
    for deed in ("update", "delete"):
        body = "FOR EACH ROW EXECUTE FUNCTION refuse_weather_change()"
        if not postgres:
            body = f"BEGIN SELECT RAISE(ABORT, '{WORDS}'); END"
        schema_editor.execute(f"CREATE TRIGGER {TABLE}_no_{deed} BEFORE {deed} ON {TABLE} {body}")


def allow_changes(apps, schema_editor):
    postgres = schema_editor.connection.vendor == "postgresql"
    for deed in ("update", "delete"):
        schema_editor.execute(f"DROP TRIGGER {TABLE}_no_{deed}" + (f" ON {TABLE}" if postgres else ""))
    if postgres:
        schema_editor.execute("DROP FUNCTION refuse_weather_change()")


class Migration(migrations.Migration):
    dependencies = [("jobs", "0003_weather")]

    operations = [migrations.RunPython(refuse_changes, allow_changes)]
