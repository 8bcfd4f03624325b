"""How much of a cloth's light reaches a face in the studio's own room. Rows are added and never changed."""

from django.conf import settings
from django.db import models
from django.utils import timezone

_USER = settings.AUTH_USER_MODEL


class KeptRoom(models.Model):
    """A room as it was measured. The latest is the one that is used."""

    owner = models.ForeignKey(_USER, on_delete=models.CASCADE, related_name="rooms")
    document = models.JSONField()  # as `tenter reflect room --json` prints it; of one from a file the factors alone
    by = models.ForeignKey(_USER, on_delete=models.PROTECT, related_name="+")
    key = models.CharField(max_length=64)  # made by the page: the same key twice is one room
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ("-at", "-pk")
        constraints = (models.UniqueConstraint(fields=("owner", "key"), name="one_room_a_key"),)
