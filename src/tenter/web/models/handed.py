"""Which papers a client was given, and which photographs are on them."""

from django.conf import settings
from django.db import models
from django.utils import timezone

from tenter.web.models.measured import Photograph
from tenter.web.models.sittings import Sitting

_USER = settings.AUTH_USER_MODEL


class HandedPaper(models.Model):
    """The client's papers as they were written once: of how many entries and changes, in which words and language."""

    sitting = models.ForeignKey(Sitting, on_delete=models.CASCADE, related_name="handed_papers")
    events = models.PositiveIntegerField()  # of the sitting, by then
    edits = models.PositiveIntegerField()  # of the palette, those taken back among them
    # the version that `tenter.web.papers.own_words` names; none if empty
    words = models.CharField(max_length=40, blank=True)
    language = models.CharField(max_length=35, blank=True, default="")  # they are in; none where nobody noted it
    by = models.ForeignKey(_USER, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ("-at", "-pk")


class PrintedPair(models.Model):
    """A best colour and a less good one, as chosen; without their pictures. It goes when either photograph goes."""

    sitting = models.OneToOneField(Sitting, on_delete=models.CASCADE, related_name="printed_pair")
    best = models.ForeignKey(Photograph, on_delete=models.CASCADE, related_name="+")
    less = models.ForeignKey(Photograph, on_delete=models.CASCADE, related_name="+")
    by = models.ForeignKey(_USER, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)  # papers written before were without it
