"""What a studio writes for its papers."""

from django.conf import settings
from django.db import models
from django.utils import timezone

from tenter.web.models.studio import Client

_USER = settings.AUTH_USER_MODEL


class StudioText(models.Model):
    """One version of something that a studio writes for its papers. Rows are added; erasing empties them.

    A letter is numbered among its client's letters, and all else among the owner's texts, so that a number says which
    texts there were at the time.
    """

    owner = models.ForeignKey(_USER, on_delete=models.CASCADE, related_name="studio_texts")
    client = models.ForeignKey(Client, on_delete=models.CASCADE, null=True, blank=True, related_name="letters")
    number = models.PositiveIntegerField()
    topic = models.CharField(max_length=12)  # a word of `tenter.report.own_words.studio_words.Topic`
    of = models.CharField(max_length=120, blank=True)  # the season or sub-season
    language = models.CharField(max_length=20, blank=True)
    text = models.TextField(blank=True)
    picture = models.BinaryField(null=True, blank=True)
    width = models.PositiveIntegerField(default=0)  # pixels of the picture
    height = models.PositiveIntegerField(default=0)
    erased = models.BooleanField(default=False)
    by = models.ForeignKey(_USER, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ("-number", "-pk")
        constraints = (
            models.UniqueConstraint(
                fields=("owner", "number"), condition=models.Q(client__isnull=True), name="one_text_a_number"
            ),
            models.UniqueConstraint(
                fields=("client", "number"), condition=models.Q(client__isnull=False), name="one_letter_a_number"
            ),
        )
