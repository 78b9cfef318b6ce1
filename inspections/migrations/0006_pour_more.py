"""More records of a pour, guarded as all records are: see the migration of the append-only tables."""

import django.db.models.deletion
import django.utils.timezone
import uuid
from django.conf import settings
from django.db import migrations, models


TABLES = (
    "inspections_levelreading",
    "inspections_loggerfile",
    "inspections_pourdecision",
    "inspections_protectionset",
)
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
        ('inspections', '0005_strength_ahead'),
        ('jobs', '0004_weather_append_only'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.AddField(
            model_name='mixagreed',
            name='cement_lb',
            field=models.FloatField(null=True),
        ),
        migrations.AddField(
            model_name='mixagreed',
            name='curve',
            field=models.JSONField(null=True),
        ),
        migrations.AddField(
            model_name='mixagreed',
            name='water_ratio',
            field=models.FloatField(null=True),
        ),
        migrations.AddField(
            model_name='truckload',
            name='revolutions',
            field=models.PositiveIntegerField(null=True),
        ),
        migrations.AddField(
            model_name='truckload',
            name='water_allowed_gal',
            field=models.FloatField(null=True),
        ),
        migrations.CreateModel(
            name='LevelReading',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('client_id', models.UUIDField(default=uuid.uuid4, unique=True)),
                ('legs', models.JSONField(default=list)),
                ('role', models.CharField(choices=[('builder', 'builder'), ('field_lead', 'field lead'), ('inspector', 'inspector'), ('engineer', 'engineer of record'), ('surveyor', 'surveyor')], max_length=20)),
                ('device_at', models.DateTimeField(null=True)),
                ('at', models.DateTimeField(default=django.utils.timezone.now)),
                ('digest', models.CharField(max_length=64)),
                ('note', models.TextField(blank=True)),
                ('down_in', models.FloatField()),
                ('taken', models.DateTimeField()),
                ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('house', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='jobs.house')),
                ('replaces', models.OneToOneField(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='replaced_by', to='inspections.levelreading')),
                ('revision', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='jobs.planrevision')),
                ('stage', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='jobs.housestage')),
            ],
            options={
                'ordering': ['at', 'pk'],
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='LoggerFile',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('client_id', models.UUIDField(default=uuid.uuid4, unique=True)),
                ('legs', models.JSONField(default=list)),
                ('role', models.CharField(choices=[('builder', 'builder'), ('field_lead', 'field lead'), ('inspector', 'inspector'), ('engineer', 'engineer of record'), ('surveyor', 'surveyor')], max_length=20)),
                ('device_at', models.DateTimeField(null=True)),
                ('at', models.DateTimeField(default=django.utils.timezone.now)),
                ('digest', models.CharField(max_length=64)),
                ('note', models.TextField(blank=True)),
                ('place', models.CharField(choices=[('core_top', 'core, near the top'), ('core_middle', 'core, mid height'), ('north_corner', 'core, north corner'), ('face', 'outer face of the wall'), ('footing', 'footing'), ('ground', 'ground under the footing'), ('air', 'air')], max_length=20)),
                ('name', models.CharField(max_length=120)),
                ('text', models.TextField()),
                ('begun', models.DateTimeField()),
                ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('house', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='jobs.house')),
                ('replaces', models.OneToOneField(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='replaced_by', to='inspections.loggerfile')),
                ('revision', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='jobs.planrevision')),
                ('stage', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='jobs.housestage')),
            ],
            options={
                'ordering': ['at', 'pk'],
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='PourDecision',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('client_id', models.UUIDField(default=uuid.uuid4, unique=True)),
                ('legs', models.JSONField(default=list)),
                ('role', models.CharField(choices=[('builder', 'builder'), ('field_lead', 'field lead'), ('inspector', 'inspector'), ('engineer', 'engineer of record'), ('surveyor', 'surveyor')], max_length=20)),
                ('device_at', models.DateTimeField(null=True)),
                ('at', models.DateTimeField(default=django.utils.timezone.now)),
                ('digest', models.CharField(max_length=64)),
                ('note', models.TextField(blank=True)),
                ('verdict', models.CharField(choices=[('go', 'go'), ('protect', 'go with protection'), ('no', 'no')], max_length=10)),
                ('answer', models.CharField(choices=[('go', 'go'), ('protect', 'go with protection'), ('no', 'no')], max_length=10)),
                ('first_at', models.DateTimeField()),
                ('until', models.DateTimeField()),
                ('reasons', models.JSONField(default=list)),
                ('conditions', models.JSONField(default=dict)),
                ('weather', models.TextField()),
                ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('house', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='jobs.house')),
                ('replaces', models.OneToOneField(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='replaced_by', to='inspections.pourdecision')),
                ('revision', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='jobs.planrevision')),
                ('source', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='jobs.weathersource')),
                ('stage', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='jobs.housestage')),
            ],
            options={
                'ordering': ['at', 'pk'],
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='ProtectionSet',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('client_id', models.UUIDField(default=uuid.uuid4, unique=True)),
                ('legs', models.JSONField(default=list)),
                ('role', models.CharField(choices=[('builder', 'builder'), ('field_lead', 'field lead'), ('inspector', 'inspector'), ('engineer', 'engineer of record'), ('surveyor', 'surveyor')], max_length=20)),
                ('device_at', models.DateTimeField(null=True)),
                ('at', models.DateTimeField(default=django.utils.timezone.now)),
                ('digest', models.CharField(max_length=64)),
                ('note', models.TextField(blank=True)),
                ('side_r', models.FloatField(default=0.0)),
                ('top_r', models.FloatField(default=0.0)),
                ('air_f', models.FloatField(null=True)),
                ('when', models.DateTimeField()),
                ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('house', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='jobs.house')),
                ('replaces', models.OneToOneField(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='replaced_by', to='inspections.protectionset')),
                ('revision', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='jobs.planrevision')),
                ('stage', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='jobs.housestage')),
            ],
            options={
                'ordering': ['at', 'pk'],
                'abstract': False,
            },
        ),
        migrations.RunPython(refuse_changes, allow_changes),
    ]
