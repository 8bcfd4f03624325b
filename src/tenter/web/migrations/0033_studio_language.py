"""The language of a studio's screens and papers."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = (("tenter", "0032_started_kits"),)
    operations = (migrations.AddField("studioname", "language", models.CharField(default="en", max_length=35)),)
