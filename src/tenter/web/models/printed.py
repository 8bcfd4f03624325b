"""Which two photographs of a client are printed on the papers of a sitting."""

from django.conf import settings
from django.db import models
from django.utils import timezone

from tenter.web.models.measured import Photograph
from tenter.web.models.sittings import Sitting

_USER = settings.AUTH_USER_MODEL


class PrintedPair(models.Model):
    """A best colour and a less good one, as chosen; without their pictures. It goes when either photograph goes."""

    sitting = models.OneToOneField(Sitting, on_delete=models.CASCADE, related_name="printed_pair")
    best = models.ForeignKey(Photograph, on_delete=models.CASCADE, related_name="+")
    less = models.ForeignKey(Photograph, on_delete=models.CASCADE, related_name="+")
    by = models.ForeignKey(_USER, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)  # papers written before were without it
