"""Who comes when."""

from datetime import datetime, timedelta

from django.conf import settings
from django.db import models
from django.utils import timezone

from tenter.consultation.client.visits import USUAL_MINUTES, Visit, visit_words
from tenter.web.models.studio import Client

_USER = settings.AUTH_USER_MODEL


class Appointment(models.Model):
    """A client expected on a day. It goes when it is crossed out, or with the client."""

    client = models.ForeignKey(Client, on_delete=models.CASCADE, related_name="appointments")
    begins = models.DateTimeField()
    minutes = models.PositiveSmallIntegerField(default=USUAL_MINUTES)
    visit = models.CharField(max_length=12, default=Visit.ANALYSIS)  # a word of `tenter.consultation.client.visits`
    by = models.ForeignKey(_USER, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ("begins", "pk")

    @property
    def ends(self) -> datetime:
        """When it is over."""
        end: datetime = self.begins + timedelta(minutes=self.minutes)
        return end

    @property
    def what_for(self) -> str:
        """What the client comes for, in words."""
        return visit_words(Visit(self.visit))
