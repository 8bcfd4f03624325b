"""Who a studio is and whom it serves, what it works by, who did what in it, and its own devices."""

from django.conf import settings
from django.db import models
from django.utils import timezone
from django.utils.translation import gettext, gettext_lazy, gettext_noop, pgettext_lazy

from tenter.language import SOURCE, in_a_row

_USER = settings.AUTH_USER_MODEL
_HASH_DIGITS = 64  # of SHA-256, in hexadecimal
# How a line of the log names a row, and what else it says of itself; each is kept in English.
_ROWS_NAMED = {
    "client": gettext_lazy("client %(number)s"),
    "sitting": gettext_lazy("sitting %(number)s"),
    "photograph": gettext_lazy("photograph %(number)s"),
    "user": gettext_lazy("user %(number)s"),
}
_TOUCHED = (gettext_noop("too many tries"), gettext_noop("wrong, used or late code"))
_WRITTEN = {  # the studio's own words, by their topics
    "language": pgettext_lazy("written by a studio", "language"),
    "letterhead": pgettext_lazy("written by a studio", "letterhead"),
    "logo": pgettext_lazy("written by a studio", "logo"),
    "signature": pgettext_lazy("written by a studio", "signature"),
    "signed": pgettext_lazy("written by a studio", "signed"),
    "text": pgettext_lazy("written by a studio", "text"),
    "make_up": pgettext_lazy("written by a studio", "make_up"),
}


class KitRecord(models.Model):
    """A kit as it was when it came in; never changed, so that a sitting on it stays what it was.

    One with an `origin` was made of that kit and of its readings, when a sitting began.
    """

    owner = models.ForeignKey(_USER, on_delete=models.CASCADE, related_name="kits")
    name = models.CharField(max_length=80)
    csv = models.TextField()
    origin = models.ForeignKey("self", on_delete=models.CASCADE, null=True, blank=True, related_name="versions")
    created = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ("-created", "-pk")

    def __str__(self) -> str:
        return str(self.name)


class StartedKit(models.Model):
    """A kit being put together on screen: its cloths so far and their light; of a `base` it is to be a new version."""

    owner = models.ForeignKey(_USER, on_delete=models.CASCADE, related_name="started_kits")
    by = models.ForeignKey(_USER, on_delete=models.PROTECT, related_name="+")
    name = models.CharField(max_length=80)
    base = models.ForeignKey(KitRecord, on_delete=models.CASCADE, null=True, blank=True, related_name="+")
    csv = models.TextField()
    illuminant = models.CharField(max_length=20)
    observer = models.CharField(max_length=4)
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ("-at", "-pk")

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
    """What an owner calls their studio, blank until they have said it, and the language of its screens and papers."""

    owner = models.OneToOneField(_USER, on_delete=models.CASCADE, related_name="studio_name")
    name = models.CharField(max_length=80, blank=True)
    language = models.CharField(max_length=35, default=SOURCE)  # a tag of BCP 47, which asks for room for 35

    def __str__(self) -> str:
        return str(self.name)


class Client(models.Model):
    """A client of the studio."""

    owner = models.ForeignKey(_USER, on_delete=models.CASCADE, related_name="clients")
    name = models.CharField(max_length=120)
    note = models.TextField(blank=True)
    minor = models.BooleanField(default=False)
    words_only = models.BooleanField(default=False)
    language = models.CharField(max_length=35, blank=True, default="")  # in which they read; none: the studio's
    created = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ("name", "pk")

    def __str__(self) -> str:
        return str(self.name)


class Access(models.Model):
    """An associate who may see a client and hold their sittings, as long as the client agrees to associates.

    Only the owner gives it, or the associate has it who made the client's card: that one sees it in any case.
    """

    client = models.ForeignKey(Client, on_delete=models.CASCADE, related_name="accesses")
    user = models.ForeignKey(_USER, on_delete=models.CASCADE, related_name="accesses")
    made_card = models.BooleanField(default=False)
    created = models.DateTimeField(default=timezone.now)

    class Meta:
        constraints = (models.UniqueConstraint(fields=("client", "user"), name="one_access_each"),)


class Associate(models.Model):
    """Somebody who works in an owner's studio. Which clients they may see is said by `Access`."""

    owner = models.ForeignKey(_USER, on_delete=models.CASCADE, related_name="associates")
    user = models.OneToOneField(_USER, on_delete=models.CASCADE, related_name="associate_of")
    created = models.DateTimeField(default=timezone.now)


class AuditEntry(models.Model):
    """Who did what to whom, when. Names no colour and no result."""

    at = models.DateTimeField(default=timezone.now)
    user = models.ForeignKey(_USER, on_delete=models.SET_NULL, null=True, related_name="+")
    action = models.CharField(max_length=40)
    subject = models.CharField(max_length=120)

    class Meta:
        ordering = ("-at", "-pk")

    @property
    def action_words(self) -> str:
        """What was done, in the language of the page."""
        return gettext(self.action)

    @property
    def subject_words(self) -> str:
        """What was touched, in the language of the page as far as it is of a closed list."""
        if self.subject in _TOUCHED:
            return gettext(self.subject)
        if self.subject in _WRITTEN:
            return str(_WRITTEN[self.subject])
        return in_a_row([_row_words(part) for part in str(self.subject).split(", ")])


def _row_words(part: str) -> str:
    kind, _space, number = part.partition(" ")
    return str(_ROWS_NAMED[kind]) % {"number": number} if kind in _ROWS_NAMED and number.isdecimal() else part


class LoginAttempt(models.Model):
    """A try to log in that has not succeeded."""

    name = models.CharField(max_length=150, db_index=True)
    at = models.DateTimeField(default=timezone.now)


# -- of this machine alone: in no backup, so that whoever puts one back connects devices again -----------------------


class IncomingFolder(models.Model):
    """A folder on this machine whose pictures are offered to the studio's clients."""

    owner = models.OneToOneField(_USER, on_delete=models.CASCADE, related_name="incoming_folder")
    path = models.TextField()  # as the system writes it
    removes = models.BooleanField(default=False)  # whether a picture leaves the folder once it is sealed
    taken = models.JSONField(default=list)  # keys of pictures that were taken in and are still there


class DeviceRight(models.TextChoices):
    """What a connected device may do."""

    CAMERA = "camera", gettext_lazy("Camera: takes photographs for the sitting in progress")
    BENCH = "bench", gettext_lazy("Bench: answers pairs in the sitting in progress")
    SCREEN = "screen", gettext_lazy("Client’s screen: shows the sitting to the client")


class PairingCode(models.Model):
    """A code that connects one device. The code itself is nowhere but on the screen."""

    owner = models.ForeignKey(_USER, on_delete=models.CASCADE, related_name="pairing_codes")
    user = models.ForeignKey(_USER, on_delete=models.CASCADE, related_name="+")  # for whom the device works
    right = models.CharField(max_length=8, choices=DeviceRight.choices)
    hashed = models.CharField(max_length=_HASH_DIGITS, unique=True)
    at = models.DateTimeField(default=timezone.now)


class PairedDevice(models.Model):
    """A device that was connected by a code. What it shows itself by is kept as a hash."""

    owner = models.ForeignKey(_USER, on_delete=models.CASCADE, related_name="devices")
    user = models.ForeignKey(_USER, on_delete=models.CASCADE, related_name="+")  # for whom it works
    right = models.CharField(max_length=8, choices=DeviceRight.choices)
    name = models.CharField(max_length=40)
    hashed = models.CharField(max_length=_HASH_DIGITS, unique=True)
    at = models.DateTimeField(default=timezone.now)
    seen = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ("-at", "-pk")
