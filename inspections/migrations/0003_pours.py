"""Records of a pour, guarded as all records are: see the migration before this one."""

import django.db.models.deletion
import django.utils.timezone
import uuid
from django.conf import settings
from django.db import migrations, models


TABLES = (
    "inspections_mixagreed",
    "inspections_truckload",
    "inspections_temperaturereading",
    "inspections_alignmentreading",
    "inspections_cylinderbreak",
    "inspections_pourmoment",
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
        ('inspections', '0002_append_only'),
        ('jobs', '0002_colleagues'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name='AlignmentReading',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('client_id', models.UUIDField(default=uuid.uuid4, unique=True)),
                ('legs', models.JSONField(default=list)),
                ('role', models.CharField(choices=[('builder', 'builder'), ('field_lead', 'field lead'), ('inspector', 'inspector'), ('engineer', 'engineer of record'), ('surveyor', 'surveyor')], max_length=20)),
                ('device_at', models.DateTimeField(null=True)),
                ('at', models.DateTimeField(default=django.utils.timezone.now)),
                ('digest', models.CharField(max_length=64)),
                ('note', models.TextField(blank=True)),
                ('plumb_in', models.FloatField(null=True)),
                ('line_in', models.FloatField(null=True)),
                ('top_in', models.FloatField(null=True)),
                ('taken', models.DateTimeField()),
                ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('house', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='jobs.house')),
                ('replaces', models.OneToOneField(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='replaced_by', to='inspections.alignmentreading')),
                ('revision', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='jobs.planrevision')),
                ('stage', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='jobs.housestage')),
            ],
            options={
                'ordering': ['at', 'pk'],
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='CylinderBreak',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('client_id', models.UUIDField(default=uuid.uuid4, unique=True)),
                ('legs', models.JSONField(default=list)),
                ('role', models.CharField(choices=[('builder', 'builder'), ('field_lead', 'field lead'), ('inspector', 'inspector'), ('engineer', 'engineer of record'), ('surveyor', 'surveyor')], max_length=20)),
                ('device_at', models.DateTimeField(null=True)),
                ('at', models.DateTimeField(default=django.utils.timezone.now)),
                ('digest', models.CharField(max_length=64)),
                ('note', models.TextField(blank=True)),
                ('specimen', models.CharField(max_length=40)),
                ('cast', models.DateTimeField()),
                ('broken', models.DateTimeField()),
                ('psi', models.FloatField()),
                ('cured', models.CharField(choices=[('field', 'beside the wall'), ('lab', 'in the laboratory')], max_length=10)),
                ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('house', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='jobs.house')),
                ('replaces', models.OneToOneField(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='replaced_by', to='inspections.cylinderbreak')),
                ('revision', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='jobs.planrevision')),
                ('stage', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='jobs.housestage')),
            ],
            options={
                'ordering': ['at', 'pk'],
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='MixAgreed',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('client_id', models.UUIDField(default=uuid.uuid4, unique=True)),
                ('legs', models.JSONField(default=list)),
                ('role', models.CharField(choices=[('builder', 'builder'), ('field_lead', 'field lead'), ('inspector', 'inspector'), ('engineer', 'engineer of record'), ('surveyor', 'surveyor')], max_length=20)),
                ('device_at', models.DateTimeField(null=True)),
                ('at', models.DateTimeField(default=django.utils.timezone.now)),
                ('digest', models.CharField(max_length=64)),
                ('note', models.TextField(blank=True)),
                ('mix', models.CharField(blank=True, max_length=60)),
                ('slump_in', models.FloatField()),
                ('approved_by', models.CharField(max_length=120)),
                ('air_percent', models.FloatField(null=True)),
                ('limit_min', models.FloatField(default=90.0)),
                ('least_f', models.FloatField()),
                ('most_f', models.FloatField()),
                ('protection', models.TextField(blank=True)),
                ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('house', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='jobs.house')),
                ('replaces', models.OneToOneField(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='replaced_by', to='inspections.mixagreed')),
                ('revision', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='jobs.planrevision')),
                ('stage', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='jobs.housestage')),
            ],
            options={
                'ordering': ['at', 'pk'],
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='PourMoment',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('client_id', models.UUIDField(default=uuid.uuid4, unique=True)),
                ('legs', models.JSONField(default=list)),
                ('role', models.CharField(choices=[('builder', 'builder'), ('field_lead', 'field lead'), ('inspector', 'inspector'), ('engineer', 'engineer of record'), ('surveyor', 'surveyor')], max_length=20)),
                ('device_at', models.DateTimeField(null=True)),
                ('at', models.DateTimeField(default=django.utils.timezone.now)),
                ('digest', models.CharField(max_length=64)),
                ('note', models.TextField(blank=True)),
                ('what', models.CharField(choices=[('vibrated', 'vibrated through, last lift'), ('trued', 'pulled true'), ('covered', 'top covered'), ('protected', 'protection in place'), ('unprotected', 'protection taken off')], max_length=20)),
                ('when', models.DateTimeField()),
                ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('house', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='jobs.house')),
                ('replaces', models.OneToOneField(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='replaced_by', to='inspections.pourmoment')),
                ('revision', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='jobs.planrevision')),
                ('stage', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='jobs.housestage')),
            ],
            options={
                'ordering': ['at', 'pk'],
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='TemperatureReading',
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
                ('value_f', models.FloatField()),
                ('taken', models.DateTimeField()),
                ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('house', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='jobs.house')),
                ('replaces', models.OneToOneField(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='replaced_by', to='inspections.temperaturereading')),
                ('revision', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='jobs.planrevision')),
                ('stage', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='jobs.housestage')),
            ],
            options={
                'ordering': ['at', 'pk'],
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='TruckLoad',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('client_id', models.UUIDField(default=uuid.uuid4, unique=True)),
                ('legs', models.JSONField(default=list)),
                ('role', models.CharField(choices=[('builder', 'builder'), ('field_lead', 'field lead'), ('inspector', 'inspector'), ('engineer', 'engineer of record'), ('surveyor', 'surveyor')], max_length=20)),
                ('device_at', models.DateTimeField(null=True)),
                ('at', models.DateTimeField(default=django.utils.timezone.now)),
                ('digest', models.CharField(max_length=64)),
                ('note', models.TextField(blank=True)),
                ('ticket', models.CharField(max_length=40)),
                ('mix', models.CharField(blank=True, max_length=60)),
                ('yd3', models.FloatField()),
                ('batched', models.DateTimeField()),
                ('arrived', models.DateTimeField(null=True)),
                ('started', models.DateTimeField(null=True)),
                ('ended', models.DateTimeField(null=True)),
                ('concrete_f', models.FloatField(null=True)),
                ('air_f', models.FloatField(null=True)),
                ('slump_in', models.FloatField(null=True)),
                ('air_percent', models.FloatField(null=True)),
                ('water_gal', models.FloatField(default=0.0)),
                ('water_by', models.CharField(blank=True, max_length=120)),
                ('decision', models.CharField(blank=True, choices=[('', 'not decided'), ('accepted', 'accepted'), ('rejected', 'sent back')], max_length=10)),
                ('reason', models.TextField(blank=True)),
                ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('house', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='jobs.house')),
                ('replaces', models.OneToOneField(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='replaced_by', to='inspections.truckload')),
                ('revision', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='jobs.planrevision')),
                ('stage', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='%(class)ss', to='jobs.housestage')),
            ],
            options={
                'ordering': ['at', 'pk'],
                'abstract': False,
                'constraints': [models.CheckConstraint(condition=models.Q(('decision', 'rejected'), ('reason', ''), _negated=True), name='a_truck_sent_back_says_why')],
            },
        ),
        migrations.RunPython(refuse_changes, allow_changes),
    ]
