"""What a client wants, what hangs in the wardrobe, and what they were told before."""

from datetime import date

from django.conf import settings
from django.db import models
from django.utils import timezone
from django.utils.formats import date_format

from tenter.web.models.studio import Client

_USER = settings.AUTH_USER_MODEL


class ClientWish(models.Model):
    """One love, hate or limit of a client, as it was said. It goes when it is taken back, or with the client."""

    client = models.ForeignKey(Client, on_delete=models.CASCADE, related_name="wishes")
    kind = models.CharField(max_length=10)  # a word of `tenter.consultation.wishes.said_wishes.WishKind`
    about = models.CharField(max_length=40, blank=True)  # a hue or a colour; of a budget, how many pieces
    why = models.CharField(max_length=200, blank=True)
    by = models.ForeignKey(_USER, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ("pk",)


class WardrobePiece(models.Model):
    """A piece that a client owns or wishes for, with the fields of a wardrobe's file. It goes with the client."""

    client = models.ForeignKey(Client, on_delete=models.CASCADE, related_name="wardrobe")
    name = models.CharField(max_length=80)
    kind = models.CharField(max_length=12)  # a word of `tenter.consultation.garments.wardrobe.PieceKind`
    colour = models.CharField(max_length=60)  # a reading, or a colour's name
    role = models.CharField(max_length=12, blank=True)  # as the consultant saw it worn; else the palette says
    price = models.FloatField(null=True, blank=True)
    wears = models.PositiveIntegerField(default=0)
    loved = models.BooleanField(default=False)
    wished = models.BooleanField(default=False)  # not owned yet
    by = models.ForeignKey(_USER, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ("pk",)
        constraints = (models.UniqueConstraint(fields=("client", "name"), name="one_piece_a_name"),)

    def __str__(self) -> str:
        return str(self.name)


class ToldBefore(models.Model):
    """A result that a client was given before, as it was told. It goes when it is erased, or with the client."""

    client = models.ForeignKey(Client, on_delete=models.CASCADE, related_name="told")
    day = models.CharField(max_length=10)  # as exact as it is known: 2019, 2019-05 or 2019-05-12
    result = models.CharField(max_length=200)
    note = models.TextField(blank=True)
    by = models.ForeignKey(_USER, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ("-day", "pk")

    @property
    def shown_day(self) -> str:
        """Return the day as the studio's language writes it, as exact as it is known: 2019, May 2019 or 12 May 2019."""
        form = {4: "Y", 7: "YEAR_MONTH_FORMAT"}.get(len(self.day), "DATE_FORMAT")
        return str(date_format(date.fromisoformat(f"{self.day}-01-01"[:10]), form))
