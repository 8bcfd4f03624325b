"""Checks of the light that a studio drapes in, and what it asks of it. Rows are added and never changed."""

from django.conf import settings
from django.db import models
from django.utils import timezone

_USER = settings.AUTH_USER_MODEL


class KeptLight(models.Model):
    """What was measured of a light at one time, and by which thresholds. What it comes to is reckoned from that."""

    owner = models.ForeignKey(_USER, on_delete=models.CASCADE, related_name="lights")
    values = models.JSONField()  # as `LightValues.to_json` of `tenter.light.light_values` writes them
    # By name, as `LightThresholds` has them; what is left out is as practice has it.
    thresholds = models.JSONField(default=dict, blank=True)
    power = models.JSONField(null=True, blank=True)  # (81,) of a spectrum, 380-780 nm every 5 nm, in any unit
    by = models.ForeignKey(_USER, on_delete=models.PROTECT, related_name="+")
    key = models.CharField(max_length=64)  # made by the page: the same key twice is one check
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ("-at", "-pk")
        constraints = (models.UniqueConstraint(fields=("owner", "key"), name="one_light_a_key"),)


class KeptThresholds(models.Model):
    """What a studio asked of its light from one time on: the latest counts, and without one practice does."""

    owner = models.ForeignKey(_USER, on_delete=models.CASCADE, related_name="light_thresholds")
    own = models.JSONField()  # those that differ from practice, by name, as `LightThresholds` has them
    by = models.ForeignKey(_USER, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ("-at", "-pk")
