"""Readings of a kit's cloths over time, and when each was cleaned. All rows are added and never changed."""

from django.conf import settings
from django.db import models
from django.utils import timezone

from tenter.web.models.studio import KitRecord

_USER = settings.AUTH_USER_MODEL
_LONGEST = 120  # letters, as `tenter.consultation.readings` allows of a cloth's number and of what is written beside it


class KeptReading(models.Model):
    """One reading of a cloth. Its kit is the one that came in, never one that was made of readings."""

    kit = models.ForeignKey(KitRecord, on_delete=models.CASCADE, related_name="readings")
    cloth = models.CharField(max_length=_LONGEST)
    day = models.DateField()
    document = models.JSONField()  # as `tenter.consultation.readings.book` writes it
    by = models.ForeignKey(_USER, on_delete=models.PROTECT, related_name="+")
    key = models.CharField(max_length=64)  # made by the page: the same key twice is one reading
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ("pk",)
        indexes = (models.Index(fields=["kit", "cloth"], name="reading_of_a_cloth"),)
        constraints = (models.UniqueConstraint(fields=("kit", "key"), name="one_reading_a_key"),)


class SetAsideReading(models.Model):
    """That a reading no longer counts, such as one with a wrong number. It is still kept and shown."""

    reading = models.OneToOneField(KeptReading, on_delete=models.CASCADE, related_name="set_aside")
    by = models.ForeignKey(_USER, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)


class KeptWash(models.Model):
    """That a cloth was washed or cleaned on a day, and how."""

    kit = models.ForeignKey(KitRecord, on_delete=models.CASCADE, related_name="washes")
    cloth = models.CharField(max_length=_LONGEST)
    day = models.DateField()
    kind = models.CharField(max_length=_LONGEST)
    note = models.CharField(max_length=_LONGEST, blank=True)
    by = models.ForeignKey(_USER, on_delete=models.PROTECT, related_name="+")
    key = models.CharField(max_length=64)  # made by the page: the same key twice is one wash
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ("pk",)
        constraints = (models.UniqueConstraint(fields=("kit", "key"), name="one_wash_a_key"),)
