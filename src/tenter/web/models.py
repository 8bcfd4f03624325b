"""The rows. What they mean is known by `store.py`; who may see them by `access.py`."""

import secrets
from datetime import date, datetime, timedelta

from django.conf import settings
from django.db import models
from django.db.models.functions import Lower
from django.utils import timezone

_USER = settings.AUTH_USER_MODEL
KEPT_DAYS = 90  # of a photograph, by default; common practice, no source


def new_token() -> str:
    """Return a name for a public page that nobody guesses."""
    return secrets.token_urlsafe(24)


def new_photograph_name() -> str:
    """Return a photograph's name, by which nobody knows whose it is."""
    return secrets.token_hex(16)


def usual_deletion() -> date:
    """Return the day by which a photograph taken today is deleted, unless another is agreed."""
    return timezone.localdate() + timedelta(days=KEPT_DAYS)


class KitRecord(models.Model):
    """A kit as it was when it came in; never changed, so that a sitting on it stays what it was."""

    owner = models.ForeignKey(_USER, on_delete=models.CASCADE, related_name="kits")
    name = models.CharField(max_length=80)
    csv = models.TextField()
    created = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ("-created", "-pk")

    def __str__(self) -> str:
        return str(self.name)


class MethodRecord(models.Model):
    """A method file of the owner's own as it came in; never changed, as a kit is not."""

    owner = models.ForeignKey(_USER, on_delete=models.CASCADE, related_name="methods")
    name = models.CharField(max_length=60)
    title = models.CharField(max_length=120)
    toml = models.TextField()
    created = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ("-created", "-pk")

    def __str__(self) -> str:
        return str(self.title)


class StudioName(models.Model):
    """What an owner calls her studio; blank until she has said it."""

    owner = models.OneToOneField(_USER, on_delete=models.CASCADE, related_name="studio_name")
    name = models.CharField(max_length=80, blank=True)

    def __str__(self) -> str:
        return str(self.name)


class Client(models.Model):
    """A client of the studio."""

    owner = models.ForeignKey(_USER, on_delete=models.CASCADE, related_name="clients")
    name = models.CharField(max_length=120)
    note = models.TextField(blank=True)
    minor = models.BooleanField(default=False)
    words_only = models.BooleanField(default=False)
    created = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ("name", "pk")

    def __str__(self) -> str:
        return str(self.name)


class Access(models.Model):
    """An associate who may see a client and hold their sittings; only the owner gives it."""

    client = models.ForeignKey(Client, on_delete=models.CASCADE, related_name="accesses")
    user = models.ForeignKey(_USER, on_delete=models.CASCADE, related_name="accesses")
    created = models.DateTimeField(default=timezone.now)

    class Meta:
        constraints = (models.UniqueConstraint(fields=("client", "user"), name="one_access_each"),)


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


class SittingStyle(models.Model):
    """What an ended sitting says of how its analyst answers, and nothing of the client."""

    sitting = models.OneToOneField(Sitting, on_delete=models.CASCADE, related_name="style")
    log_likelihoods = models.JSONField()  # of `tenter.inference.style_learning.FINE_STYLES`


class AnswerLearning(models.Model):
    """Whether a user's new sittings start from how she answered before; without a row they do."""

    user = models.OneToOneField(_USER, on_delete=models.CASCADE, related_name="answer_learning")
    used = models.BooleanField(default=True)


class AuditEntry(models.Model):
    """Who did what to whom, when. Names no colour and no result."""

    at = models.DateTimeField(default=timezone.now)
    user = models.ForeignKey(_USER, on_delete=models.SET_NULL, null=True, related_name="+")
    action = models.CharField(max_length=40)
    subject = models.CharField(max_length=120)

    class Meta:
        ordering = ("-at", "-pk")


class LoginAttempt(models.Model):
    """A try to log in that has not succeeded."""

    name = models.CharField(max_length=150, db_index=True)
    at = models.DateTimeField(default=timezone.now)


class Associate(models.Model):
    """Somebody who works in an owner's studio. Which clients she may see is said by `Access`."""

    owner = models.ForeignKey(_USER, on_delete=models.CASCADE, related_name="associates")
    user = models.OneToOneField(_USER, on_delete=models.CASCADE, related_name="associate_of")
    created = models.DateTimeField(default=timezone.now)


class Arrival(models.Model):
    """How a client arrived: since when the skin settles, and what was looked at. Words of ours only, no health data."""

    sitting = models.OneToOneField(Sitting, on_delete=models.CASCADE, related_name="arrival")
    settles_from = models.DateTimeField(default=timezone.now)
    minutes = models.PositiveSmallIntegerField(default=12)  # for which it settles
    checks = models.JSONField(default=dict)  # a check's word -> what was found, another word


class Measured(models.Model):
    """What is measured in the background: how far it is, and what came of it, sealed."""

    class State(models.TextChoices):
        QUEUED = "queued"
        MEASURING = "measuring"
        DONE = "done"
        REFUSED = "refused"  # it was looked at, and may not speak
        FAILED = "failed"  # it could not be looked at

    by = models.ForeignKey(_USER, on_delete=models.PROTECT, related_name="+")
    name = models.CharField(max_length=32, unique=True, default=new_photograph_name)  # the file's, and what seals it
    taken_at = models.DateTimeField(default=timezone.now)
    chart = models.CharField(max_length=12)
    state = models.CharField(max_length=10, choices=State.choices, default=State.QUEUED)
    turn = models.PositiveIntegerField(default=0)  # counts the tries: a worker of an earlier one writes nothing
    progress = models.PositiveSmallIntegerField(default=0)  # percent
    heartbeat = models.DateTimeField(null=True, blank=True)  # when a worker last said that it is at it
    problem = models.CharField(max_length=400, blank=True)  # why it failed
    result = models.TextField(blank=True)  # sealed

    class Meta:
        abstract = True
        ordering = ("-taken_at", "-pk")

    @property
    def waits(self) -> bool:
        """Whether it is still to be measured."""
        return self.state in (self.State.QUEUED, self.State.MEASURING)


class Picture(Measured):
    """A picture. It lies in a file of its own, sealed; what it shows is sealed too, in its row."""

    card = models.CharField(max_length=80, blank=True)  # whose values: a reference set, an own card's serial
    deletes_on = models.DateField(default=usual_deletion)
    corrections = models.TextField(blank=True)  # sealed: what a person said of the picture

    class Meta(Measured.Meta):
        abstract = True


class Photograph(Picture):
    """A photograph of a client. Its corrections: what is left out, and whether the hair is hair."""

    client = models.ForeignKey(Client, on_delete=models.CASCADE, related_name="photographs")
    sitting = models.ForeignKey(Sitting, on_delete=models.SET_NULL, null=True, blank=True, related_name="photographs")
    phone = models.CharField(max_length=40, blank=True)  # the learned phone that took it, by name
    purposes = models.JSONField(default=list)  # what the client has agreed to, in words of ours
    guardian = models.BooleanField(default=False)  # was present
    # How long it is kept after the end of its sitting. Until then `deletes_on` is the latest day; without, as agreed.
    days_after_end = models.PositiveSmallIntegerField(null=True, blank=True)


class LearnedPhone(Measured):
    """A phone of the studio: which photographs of the card it is learned from, and what they taught.

    What was learned is kept as it is: it says nothing of anybody.
    """

    owner = models.ForeignKey(_USER, on_delete=models.CASCADE, related_name="phones")
    phone = models.CharField(max_length=40)  # what it is called
    card = models.CharField(max_length=80, blank=True)  # which published figures the card has
    camera = models.JSONField(null=True, blank=True)  # as `photo/learned_camera_kept.py` writes it; None until learned

    def __str__(self) -> str:
        return str(self.phone)


class PhonePhotograph(models.Model):
    """One photograph of the card that a phone is learned from: its file is kept, sealed, only while the phone waits."""

    of = models.ForeignKey(LearnedPhone, on_delete=models.CASCADE, related_name="photographs")
    name = models.CharField(max_length=32, unique=True, default=new_photograph_name)  # the sealed file's
    file = models.CharField(max_length=120)  # what it was called as it came
    problem = models.TextField(blank=True)  # why it is left out

    class Meta:
        ordering = ("pk",)


class PhotoSeries(Measured):
    """Photographs of a client in which two cloths are held in turn, and what the one does to the face beside the other.

    It goes when one of its photographs goes: what it says was measured in all of them.
    """

    client = models.ForeignKey(Client, on_delete=models.CASCADE, related_name="series")
    cloth_a = models.CharField(max_length=40)  # by its number
    cloth_b = models.CharField(max_length=40)
    pattern = models.CharField(max_length=16)  # which cloth each photograph shows, as in ABAB


class SeriesFrame(models.Model):
    """One photograph of a series, in its place."""

    series = models.ForeignKey(PhotoSeries, on_delete=models.CASCADE, related_name="frames")
    photograph = models.ForeignKey(Photograph, on_delete=models.CASCADE, related_name="frames")
    place = models.PositiveSmallIntegerField()

    class Meta:
        ordering = ("series", "place")
        constraints = (models.UniqueConstraint(fields=("series", "place"), name="one_frame_a_place"),)


class ClothPhotograph(Picture):
    """A photograph of cloths of the studio, and of no client. Its corrections: where the cloths are."""

    class Shows(models.TextChoices):
        RACK = "rack"
        CLOTH = "cloth"
        PRINT = "print"

    owner = models.ForeignKey(_USER, on_delete=models.CASCADE, related_name="cloth_photographs")
    shows = models.CharField(max_length=8, choices=Shows.choices, default=Shows.RACK)
    rows = models.PositiveSmallIntegerField(default=1)
    columns = models.PositiveSmallIntegerField(default=1)
    numbers = models.JSONField(default=dict)  # a place, "r1c2" -> the number of the cloth that hangs there
    kit = models.ForeignKey(KitRecord, on_delete=models.SET_NULL, null=True, blank=True, related_name="photographs")


class MeasuredFace(models.Model):
    """The colours that a sitting's sheet speaks of: given by hand, taken out by hand, and no outline among them."""

    sitting = models.OneToOneField(Sitting, on_delete=models.CASCADE, related_name="measured_face")
    photograph = models.ForeignKey(Photograph, on_delete=models.SET_NULL, null=True, blank=True, related_name="faces")
    by = models.ForeignKey(_USER, on_delete=models.PROTECT, related_name="+")
    colours = models.JSONField()  # what `tenter.consultation.face` reads, and nothing more
    given_at = models.DateTimeField(default=timezone.now)


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


class StudioText(models.Model):
    """One version of something that a studio writes for its papers. Rows are added; erasing empties them.

    A letter is numbered among its client's letters, and all else among the owner's texts, so that a number says which
    texts there were at the time.
    """

    owner = models.ForeignKey(_USER, on_delete=models.CASCADE, related_name="studio_texts")
    client = models.ForeignKey(Client, on_delete=models.CASCADE, null=True, blank=True, related_name="letters")
    number = models.PositiveIntegerField()
    topic = models.CharField(max_length=12)  # a word of `tenter.report.studio_words.Topic`
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
