"""The language in which a client reads, and the one in which a paper was written or a consent was asked."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = (("tenter", "0033_studio_language"),)
    operations = tuple(
        migrations.AddField(of, "language", models.CharField(blank=True, default="", max_length=35))
        for of in ("client", "consent", "handedpaper")
    )
