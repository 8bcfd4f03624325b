"""What a client wants."""

from django.conf import settings
from django.db import models
from django.utils import timezone

from tenter.web.models.studio import Client

_USER = settings.AUTH_USER_MODEL


class ClientWish(models.Model):
    """One love, hate or limit of a client, as it was said. It goes when it is taken back, or with the client."""

    client = models.ForeignKey(Client, on_delete=models.CASCADE, related_name="wishes")
    kind = models.CharField(max_length=10)  # a word of `tenter.consultation.personal.said_wishes.WishKind`
    about = models.CharField(max_length=40, blank=True)  # a hue or a colour; of a budget, how many pieces
    why = models.CharField(max_length=200, blank=True)
    by = models.ForeignKey(_USER, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ("pk",)
