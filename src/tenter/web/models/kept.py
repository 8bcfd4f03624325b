"""How long a studio keeps what it has of its clients."""

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils import timezone

from tenter.consultation.client.consent import PHOTOGRAPH_DAYS
from tenter.web.models.studio import Client

_USER = settings.AUTH_USER_MODEL
USUAL_MONTHS, MOST_MONTHS = 36, 360  # three years by default: common practice, no source
LONGEST_KEPT_DAYS = 365  # no photograph is kept forever


def _months() -> "models.PositiveSmallIntegerField[int, int]":
    return models.PositiveSmallIntegerField(
        default=USUAL_MONTHS, validators=[MinValueValidator(1), MaxValueValidator(MOST_MONTHS)]
    )


class KeepingTimes(models.Model):
    """For how many months an owner keeps each kind of thing, and a photograph for how many days; else as by default."""

    owner = models.OneToOneField(_USER, on_delete=models.CASCADE, related_name="keeping_times")
    client = _months()
    sitting = _months()
    papers = _months()
    notes = _months()
    wishes = _months()
    wardrobe = _months()
    consents = _months()  # the proof of a consent, after it has ended
    photograph_days = models.PositiveSmallIntegerField(
        default=PHOTOGRAPH_DAYS, validators=[MinValueValidator(1), MaxValueValidator(LONGEST_KEPT_DAYS)]
    )
    by_itself = models.BooleanField(default=False)  # what is due is erased without a click


class KeptUntil(models.Model):
    """The day of one thing that has a day of its own, and why."""

    client = models.ForeignKey(Client, on_delete=models.CASCADE, related_name="kept_until")
    kind = models.CharField(max_length=8)  # a word of `tenter.web.rules.keeping.DatedKind`
    number = models.PositiveBigIntegerField(default=0)  # of the sitting or paper; 0 for what a client has once
    day = models.DateField()
    reason = models.CharField(max_length=200)
    by = models.ForeignKey(_USER, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ("pk",)
        constraints = (models.UniqueConstraint(fields=("client", "kind", "number"), name="one_day_a_thing"),)
