"""How a strength was expected to grow, kept with the estimate; those accepted before this have none."""

from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('inspections', '0004_strength_estimate'),
    ]

    operations = [
        migrations.AddField(
            model_name='strengthestimate',
            name='ahead',
            field=models.JSONField(null=True),
        ),
    ]
