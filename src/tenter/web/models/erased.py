"""What was erased, by marks that name nobody."""

from django.db import models
from django.utils import timezone


class ErasedMark(models.Model):
    """By this a client, a sitting or a picture that was erased is known again in an older backup, and by nothing else.

    The digest is keyed, so that it tells neither a number nor a day.
    """

    kind = models.CharField(max_length=8)  # a word of `tenter.web.rules.erased_marks.ErasedKind`
    key = models.CharField(max_length=32)  # random
    digest = models.CharField(max_length=64)
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ("pk",)
