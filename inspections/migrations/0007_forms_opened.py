"""One more thing that may be written down of a fresh wall; only the words known to the program, not the table."""

from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('inspections', '0006_pour_more'),
    ]

    operations = [
        migrations.AlterField(
            model_name='pourmoment',
            name='what',
            field=models.CharField(choices=[('vibrated', 'vibrated through, last lift'), ('trued', 'pulled true'), ('covered', 'top covered'), ('protected', 'protection in place'), ('unprotected', 'protection taken off'), ('opened', 'forms opened (blow-out)')], max_length=20),
        ),
    ]
