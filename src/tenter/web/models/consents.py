"""What clients have agreed to, and taken back."""

from django.conf import settings
from django.db import models
from django.utils import timezone

from tenter.web.models.studio import Client

_USER = settings.AUTH_USER_MODEL


class Consent(models.Model):
    """One answer of a client about one purpose. Rows are added and never changed: taking back is one.

    Of a purpose the latest row counts. One that counts no more is erased on its day; of the latest only the wording and
    the guardian's name are then, so that what was taken back stays so.
    """

    client = models.ForeignKey(Client, on_delete=models.CASCADE, related_name="consents")
    purpose = models.CharField(max_length=12)  # a word of `tenter.consultation.client.consent.Purpose`
    given = models.BooleanField()  # or taken back
    at = models.DateTimeField(default=timezone.now)
    until = models.DateField(null=True, blank=True)  # the day on which it ends; None: until it is taken back
    wording = models.TextField(max_length=600, blank=True)  # what was shown; of what was taken back, that again
    version = models.PositiveSmallIntegerField()  # of the wordings
    language = models.CharField(max_length=35, blank=True, default="")  # of the wording; none where nobody noted it
    guardian = models.CharField(max_length=120, blank=True)  # who agreed for a minor, by name
    by = models.ForeignKey(_USER, on_delete=models.PROTECT, related_name="+")  # who wrote it down

    class Meta:
        ordering = ("pk",)
        indexes = (models.Index(fields=("client", "purpose"), name="consent_of_a_client"),)
