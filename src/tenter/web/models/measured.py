"""What is measured in the background: photographs of faces and cloths, series of them, and phones."""

import secrets
from datetime import date, timedelta
from operator import attrgetter
from typing import Any, ClassVar, Self

from django.conf import settings
from django.contrib.auth.models import User
from django.db import models
from django.utils import timezone

from tenter.consultation.client.consent import MINORS_PHOTOGRAPH_DAYS, PHOTOGRAPH_DAYS
from tenter.web.models.sittings import Sitting
from tenter.web.models.studio import Client, KitRecord

_USER = settings.AUTH_USER_MODEL
KEPT_DAYS = PHOTOGRAPH_DAYS


def new_photograph_name() -> str:
    """Return a photograph's name, by which nobody knows whose it is."""
    return secrets.token_hex(16)


def usual_deletion(*, minor: bool = False) -> date:
    """Return the day by which a photograph taken today is deleted, unless another is agreed; a minor's goes sooner."""
    return timezone.localdate() + timedelta(days=MINORS_PHOTOGRAPH_DAYS if minor else KEPT_DAYS)


class Measured(models.Model):
    """What is measured in the background: how far it is, and what came of it, sealed."""

    class State(models.TextChoices):
        QUEUED = "queued"
        MEASURING = "measuring"
        DONE = "done"
        REFUSED = "refused"  # it was looked at, and may not speak
        FAILED = "failed"  # it could not be looked at

    OWNED_THROUGH: ClassVar[str] = "client__owner"  # the fields that lead to whom it belongs
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

    @property
    def shown_client(self) -> Client | None:
        """The client whom it shows, or a thing of theirs; None for the studio's cloths and phones."""
        return None

    @classmethod
    def belongs_to(cls, user: User) -> models.Q:
        """Return the condition by which a row is a user's own: of a client of theirs, or of their studio."""
        return models.Q(**{cls.OWNED_THROUGH: user})

    @property
    def owner_pk(self) -> int:
        """The number of the user whose own it is, as `belongs_to` says."""
        return int(attrgetter(f"{self.OWNED_THROUGH.replace('__', '.')}_id")(self))


class Picture(Measured):
    """A picture. It lies in a file of its own, sealed; what it shows is sealed too, in its row."""

    card = models.CharField(max_length=80, blank=True)  # whose values: a reference set, an own card's serial
    deletes_on = models.DateField(default=usual_deletion)
    corrections = models.TextField(blank=True)  # sealed: what a person said of the picture

    class Meta(Measured.Meta):
        abstract = True

    @property
    def past_its_day(self) -> bool:
        """Whether it was to be deleted by today. It is not opened then, whether or not it was deleted yet."""
        return self.deletes_on <= timezone.localdate()

    @classmethod
    def with_picture(cls) -> models.QuerySet[Self]:
        """Return those whose file is to be there, as `has_picture` says of one."""
        return cls._default_manager.all()

    @property
    def has_picture(self) -> bool:
        """Whether its file is to be there."""
        return True


class Photograph(Picture):
    """A photograph of a client. Its corrections: what is left out, and whether the hair is hair."""

    client = models.ForeignKey(Client, on_delete=models.CASCADE, related_name="photographs")
    sitting = models.ForeignKey(Sitting, on_delete=models.SET_NULL, null=True, blank=True, related_name="photographs")
    phone = models.CharField(max_length=40, blank=True)  # the learned phone that took it, by name
    # Of one that came in before consents were on the client's card: what was agreed for it alone, and whether a
    # guardian was present. It narrows what the card allows. Empty for every later one.
    purposes = models.JSONField(default=list)
    guardian = models.BooleanField(default=False)
    # How long it is kept after the end of its sitting. Until then `deletes_on` is the latest day; without, as agreed.
    days_after_end = models.PositiveSmallIntegerField(null=True, blank=True)
    number: int  # among its client's, once `photo_together.numbered` has counted them; no column

    @property
    def shown_client(self) -> Client:
        """The client whom it shows."""
        return self.client

    def delete(self, *args: Any, **kwargs: Any) -> tuple[int, dict[str, int]]:
        """Delete it with every series it is in: what a series says was measured in all of its photographs."""
        PhotoSeries.objects.filter(frames__photograph=self).delete()
        return super().delete(*args, **kwargs)


class LearnedPhone(Measured):
    """A phone of the studio: which photographs of the card it is learned from, and what they taught.

    What was learned is kept as it is: it says nothing of anybody.
    """

    OWNED_THROUGH = "owner"
    owner = models.ForeignKey(_USER, on_delete=models.CASCADE, related_name="phones")
    phone = models.CharField(max_length=40)  # what it is called
    card = models.CharField(max_length=80, blank=True)  # which published figures the card has
    camera = models.JSONField(null=True, blank=True)  # as `photo/phones/kept.py` writes it; None until learned

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

    @property
    def shown_client(self) -> Client:
        """The client whom its photographs show."""
        return self.client


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

    OWNED_THROUGH = "owner"
    owner = models.ForeignKey(_USER, on_delete=models.CASCADE, related_name="cloth_photographs")
    shows = models.CharField(max_length=8, choices=Shows.choices, default=Shows.RACK)
    rows = models.PositiveSmallIntegerField(default=1)
    columns = models.PositiveSmallIntegerField(default=1)
    said: str  # what it shows, in words, on the page that lists them; no column
    numbers = models.JSONField(default=dict)  # a place, "r1c2" -> the number of the cloth that hangs there
    kit = models.ForeignKey(KitRecord, on_delete=models.SET_NULL, null=True, blank=True, related_name="photographs")


class ThingPhotograph(Picture):
    """A photograph of a thing of a client's: a garment that was asked about, or what came to the show round.

    Without `kept` its file goes as soon as its colour is read. Its corrections: where the garment is.
    """

    class Shows(models.TextChoices):
        CLOTH = "cloth"
        PRINT = "print"

    OWNED_THROUGH = "sitting__client__owner"
    sitting = models.ForeignKey(Sitting, on_delete=models.CASCADE, related_name="things")  # by whose palette it is told
    shows = models.CharField(max_length=8, choices=Shows.choices, default=Shows.CLOTH)
    kept = models.BooleanField(default=False)
    entry = models.PositiveIntegerField(null=True, blank=True)  # of the show round, for what was brought

    @property
    def shown_client(self) -> Client:
        """The client whose thing it shows."""
        return self.sitting.client

    @classmethod
    def with_picture(cls) -> models.QuerySet[Self]:
        """Return those whose file is still there, as `has_picture` says of one."""
        return cls.objects.filter(models.Q(kept=True) | ~models.Q(state=cls.State.DONE))

    @property
    def has_picture(self) -> bool:
        """Whether its file is still there: it is kept, or its colour was not read yet and it can be pointed at."""
        return self.kept or self.state != self.State.DONE


class MeasuredFace(models.Model):
    """The colours that a sitting's sheet speaks of: given by hand, taken out by hand, and no outline among them."""

    sitting = models.OneToOneField(Sitting, on_delete=models.CASCADE, related_name="measured_face")
    photograph = models.ForeignKey(Photograph, on_delete=models.SET_NULL, null=True, blank=True, related_name="faces")
    by = models.ForeignKey(_USER, on_delete=models.PROTECT, related_name="+")
    colours = models.JSONField()  # what `tenter.consultation.client.face` reads, and nothing more
    given_at = models.DateTimeField(default=timezone.now)
