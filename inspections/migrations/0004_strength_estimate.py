"""Accepted estimates of strength, guarded as all records are: see the migration of the append-only tables."""

import django.db.models.deletion
import django.utils.timezone
import uuid
from django.conf import settings
from django.db import migrations, models


TABLES = ("inspections_strengthestimate",)
WORDS = "This record cannot be changed or deleted; make a new one that names it."


def refuse_changes(apps, schema_editor):
    postgres = schema_editor.connection.vendor == "postgresql"
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


class Migration(migrations.Migration):

    dependencies = [
        ('inspections', '0003_pours'),
        ('jobs', '0004_weather_append_only'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name='StrengthEstimate',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('client_id', models.UUIDField(default=uuid.uuid4, unique=True)),
                ('legs', models.JSONField(default=list)),
                ('role', models.CharField(choices=[('builder', 'builder'), ('field_lead', 'field lead'), ('inspector', 'inspector'), ('engineer', 'engineer of record'), ('surveyor', 'surveyor')], max_length=20)),
                ('device_at', models.DateTimeField(null=True)),
                ('at', models.DateTimeField(default=django.utils.timezone.now)),
                ('digest', models.CharField(max_length=64)),
                ('note', models.TextField(blank=True)),
                ('low_psi', models.FloatField()),
                ('likely_psi', models.FloatField()),
                ('high_psi', models.FloatField()),
                ('until', models.DateTimeField()),
                ('inputs', models.JSONField()),
                ('reason', models.TextField()),
                ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('house', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='jobs.house')),
                ('replaces', models.OneToOneField(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='replaced_by', to='inspections.strengthestimate')),
                ('revision', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='jobs.planrevision')),
                ('stage', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='jobs.housestage')),
            ],
            options={
                'ordering': ['at', 'pk'],
                'abstract': False,
                'constraints': [models.CheckConstraint(condition=models.Q(('reason', ''), _negated=True), name='an_accepted_estimate_says_why')],
            },
        ),
        migrations.RunPython(refuse_changes, allow_changes),
    ]
