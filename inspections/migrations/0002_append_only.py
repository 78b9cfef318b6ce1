"""The database itself refuses to change or delete a record, so that no query goes round the models' refusal.

Altering one of these tables on the embedded database makes it anew and loses its triggers: a later migration that
does so calls `refuse_changes` again (a test looks for the triggers of every table).
"""

from django.db import migrations

TABLES = (
    "inspections_presentation",
    "inspections_signoff",
    "inspections_signoff_supersedes",
    "inspections_correctionclosed",
    "inspections_workdone",
    "inspections_evidenceitem",
    "jobs_event",
    "jobs_planrevision",
)
WORDS = "This record cannot be changed or deleted; make a new one that names it."

POSTGRES_FUNCTION = f"""
CREATE OR REPLACE FUNCTION refuse_change() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN RAISE EXCEPTION '{WORDS}' USING ERRCODE = 'integrity_constraint_violation'; END $$
"""


def refuse_changes(apps, schema_editor):
    postgres = schema_editor.connection.vendor == "postgresql"
    if postgres:
        schema_editor.execute(POSTGRES_FUNCTION)
    for table in TABLES:
        for deed in ("update", "delete"):
            body = "FOR EACH ROW EXECUTE FUNCTION refuse_change()"
            if not postgres:
                body = f"BEGIN SELECT RAISE(ABORT, '{WORDS}'); END"
            schema_editor.execute(f"CREATE TRIGGER {table}_no_{deed} BEFORE {deed} ON {table} {body}")


def allow_changes(apps, schema_editor):
    postgres = schema_editor.connection.vendor == "postgresql"
    for table in TABLES:
        for deed in ("update", "delete"):
            schema_editor.execute(f"DROP TRIGGER {table}_no_{deed}" + (f" ON {table}" if postgres else ""))
    if postgres:
        schema_editor.execute("DROP FUNCTION refuse_change()")


class Migration(migrations.Migration):
    dependencies = [("inspections", "0001_initial"), ("jobs", "0001_initial")]

    operations = [migrations.RunPython(refuse_changes, allow_changes)]
