"""The snippets in the studio's drawers, and what came into each and went out of it."""

from django.conf import settings
from django.db import models
from django.db.models.functions import Lower
from django.utils import timezone

from tenter.web.models.sittings import Sitting

_USER = settings.AUTH_USER_MODEL


class SnippetRecord(models.Model):
    """A kind of snippet in a drawer of its own. How many pieces there are is what its movements add up to."""

    owner = models.ForeignKey(_USER, on_delete=models.CASCADE, related_name="snippets")
    drawer = models.CharField(max_length=12)
    name = models.CharField(max_length=80)
    lab = models.JSONField()  # L*, a*, b* under these two
    illuminant = models.CharField(max_length=20)
    observer = models.CharField(max_length=2)
    reorder_at = models.PositiveIntegerField(null=True, blank=True)
    created = models.DateTimeField(default=timezone.now)
    cleared = models.DateTimeField(null=True, blank=True)  # since when the drawer is another's

    class Meta:
        constraints = (
            models.UniqueConstraint(
                "owner", Lower("drawer"), condition=models.Q(cleared__isnull=True), name="one_snippet_a_drawer"
            ),
        )

    def __str__(self) -> str:
        return f"drawer {self.drawer}"


class StockMovement(models.Model):
    """What came into a drawer or went out of it. Rows are added and never changed."""

    snippet = models.ForeignKey(SnippetRecord, on_delete=models.CASCADE, related_name="movements")
    change = models.IntegerField()  # pieces, below 0 where they went out
    why = models.CharField(max_length=10)
    note = models.CharField(max_length=120, blank=True)
    sitting = models.ForeignKey(Sitting, on_delete=models.SET_NULL, null=True, blank=True, related_name="picked")
    by = models.ForeignKey(_USER, on_delete=models.PROTECT, related_name="+")
    key = models.CharField(max_length=64)  # made by the page: the same key twice is one movement
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ("-at", "-pk")
        constraints = (models.UniqueConstraint(fields=("snippet", "key"), name="one_movement_a_key"),)
