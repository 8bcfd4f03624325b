"""For how many days a studio keeps a new photograph of a client, unless its own page says otherwise."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = (("tenter", "0028_devices"),)
    operations = (
        migrations.AddField(
            "keepingtimes",
            "photograph_days",
            models.PositiveSmallIntegerField(default=90, validators=[MinValueValidator(1), MaxValueValidator(365)]),
        ),
    )
