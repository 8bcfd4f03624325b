"""A sitting and what is written down of it, event by event."""

import secrets
from datetime import datetime

from django.conf import settings
from django.db import models
from django.utils import timezone

from tenter.web.models.studio import Client, KitRecord, MethodRecord

_USER = settings.AUTH_USER_MODEL


def new_token() -> str:
    """Return a name for a public page that nobody guesses."""
    return secrets.token_urlsafe(24)


class Sitting(models.Model):
    """A sitting's head. What happened in it is its events, in order."""

    client = models.ForeignKey(Client, on_delete=models.CASCADE, related_name="sittings")
    analyst = models.ForeignKey(_USER, on_delete=models.PROTECT, related_name="sittings")
    kit = models.ForeignKey(KitRecord, on_delete=models.PROTECT, related_name="sittings")
    method = models.CharField(max_length=60)
    own_method = models.ForeignKey(
        MethodRecord, on_delete=models.PROTECT, null=True, blank=True, related_name="sittings"
    )  # left empty for a bundled one
    seed = models.PositiveIntegerField()
    started = models.DateTimeField(default=timezone.now)
    ended = models.DateTimeField(null=True, blank=True)
    revealed_at = models.DateTimeField(null=True, blank=True)  # when the analyst looked at the odds
    compared_at = models.DateTimeField(null=True, blank=True)  # when two readings apart were laid side by side
    blind_to = models.ForeignKey("self", on_delete=models.CASCADE, null=True, blank=True, related_name="seconds")
    token = models.CharField(max_length=64, unique=True, default=new_token)  # of the client's own screen
    held = models.TextField(default="", blank=True)  # the sides of the analyst's own choice; empty for the plan's pair
    # How its analyst answered before it began, as `store.styles_of` reads it; None where nothing was known or used.
    analyst_prior = models.JSONField(null=True, blank=True)
    turn = models.PositiveIntegerField(default=0)  # counts what its pages show anew without an event of the sitting

    class Meta:
        ordering = ("-started", "-pk")

    @property
    def closed(self) -> datetime | None:
        """Since when nothing more is written down; a blind reading closes when its odds have been seen."""
        found: datetime | None = self.ended or (self.revealed_at if self.blind_to_id else None)
        return found

    @property
    def read_apart(self) -> bool:
        """Whether it is one of two readings of a client that are held apart."""
        return self.blind_to_id is not None or self.seconds.exists()

    @property
    def stays_closed(self) -> bool:
        """Whether it has ended for good: one of two readings apart, whose analyst may have seen the other since."""
        return bool(self.closed and (self.revealed_at or self.compared_at) and self.read_apart)


class SittingEvent(models.Model):
    """One thing that happened in a sitting. Rows are added and never changed."""

    sitting = models.ForeignKey(Sitting, on_delete=models.CASCADE, related_name="events")
    number = models.PositiveIntegerField()
    kind = models.CharField(max_length=12)
    payload = models.JSONField()
    key = models.CharField(max_length=64)  # made by the page: the same key twice is one event
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ("sitting", "number")
        constraints = (
            models.UniqueConstraint(fields=("sitting", "number"), name="one_event_a_number"),
            models.UniqueConstraint(fields=("sitting", "key"), name="one_event_a_key"),
        )


class PaletteEdit(models.Model):
    """One change that the consultant made to a palette. Rows are added and never changed: taking back is one."""

    sitting = models.ForeignKey(Sitting, on_delete=models.CASCADE, related_name="palette_edits")
    number = models.PositiveIntegerField()
    payload = models.JSONField()  # as `tenter.consultation.personal.edits` writes it, or that the last was taken back
    key = models.CharField(max_length=64)  # made by the page: the same key twice is one change
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ("sitting", "number")
        constraints = (
            models.UniqueConstraint(fields=("sitting", "number"), name="one_edit_a_number"),
            models.UniqueConstraint(fields=("sitting", "key"), name="one_edit_a_key"),
        )


class SittingCloths(models.Model):
    """Which cloths a sitting has held, as its events say: kept, so that they need not all be read again."""

    sitting = models.OneToOneField(Sitting, on_delete=models.CASCADE, related_name="held_cloths")
    events = models.PositiveIntegerField()  # the number of the last event that was read
    cloths = models.TextField(blank=True)  # their numbers, parted by spaces


class SittingStyle(models.Model):
    """What an ended sitting says of how its analyst answers, and nothing of the client."""

    sitting = models.OneToOneField(Sitting, on_delete=models.CASCADE, related_name="style")
    log_likelihoods = models.JSONField()  # of `tenter.inference.style_learning.FINE_STYLES`


class AnswerLearning(models.Model):
    """Whether a user's new sittings start from how they answered before; without a row they do."""

    user = models.OneToOneField(_USER, on_delete=models.CASCADE, related_name="answer_learning")
    used = models.BooleanField(default=True)


class Arrival(models.Model):
    """How a client arrived: since when the skin settles, what was asked first, and what was looked at.

    Words of closed lists only, and the name of a minor's guardian.
    """

    sitting = models.OneToOneField(Sitting, on_delete=models.CASCADE, related_name="arrival")
    settles_from = models.DateTimeField(default=timezone.now)
    minutes = models.PositiveSmallIntegerField(default=12)  # for which it settles
    checks = models.JSONField(default=dict)  # a check's word -> what was found, another word
    # What troubles the client, as words of `tenter.consultation.client.asked_first.ClientTrouble`; None until it was
    # asked.
    troubles = models.JSONField(null=True, blank=True)
    guardian = models.CharField(max_length=120, blank=True)  # who is present with a minor, by name
