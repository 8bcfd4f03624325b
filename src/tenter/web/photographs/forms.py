"""A photograph as a page sends it: the picture, the card in it, and how long it is kept."""

from typing import Any

from django import forms
from django.contrib.auth.models import User
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from tenter.errors import TenterError
from tenter.language import in_a_row
from tenter.photo.cards import ChartKind
from tenter.photo.files.keeping import kept_picture
from tenter.web.models import Client, Sitting
from tenter.web.photographs.card_forms import CardForm, card_within, last_card, latest_photograph
from tenter.web.photographs.kept_until_forms import KeptUntilForm
from tenter.web.pictures import phone_learning
from tenter.web.pictures.pictures import LARGEST_UPLOAD
from tenter.web.rules import access
from tenter.web.sent.typed_fields import choice_field, offer_rows

ACCEPTED_PICTURES = (
    "image/*,.webp,.heic,.heif,.dng,.tif,.tiff,.nef,.cr2,.cr3,.arw"  # as a browser's chooser of files wants it
)


class PhotographFileForm(CardForm):
    """A photograph, and the card in it. too_large: its file was left unread."""

    picture = forms.FileField(
        required=False,
        label=gettext_lazy("A file"),
        help_text=gettext_lazy(
            "Choose it, or drop it here. JPEG, PNG, WebP, TIFF, HEIC or a raw file, as it came from the camera."
        ),
        widget=forms.FileInput(attrs={"accept": ACCEPTED_PICTURES}),
    )
    camera = forms.FileField(
        required=False,
        label=gettext_lazy("Or take one now"),
        help_text=gettext_lazy("Opens the camera on a tablet or phone."),
        widget=forms.FileInput(attrs={"accept": "image/*", "capture": "environment"}),
    )

    def __init__(self, *args: Any, too_large: bool = False, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._too_large = too_large

    def clean(self) -> dict[str, Any]:
        """Read the picture, once all else is as it should be: what it holds besides the picture is dropped with it."""
        said: dict[str, Any] = super().clean() or self.cleaned_data
        file = said.get("picture") or said.get("camera")
        if self._too_large or (file and file.size > LARGEST_UPLOAD):
            said_size = _("The file is larger than %(size)s MB. Export a smaller one.")
            self.add_error("picture", said_size % {"size": LARGEST_UPLOAD // 1_000_000})
        elif file is None:
            self.add_error("picture", _("Choose a file, or take a photograph."))
        elif not self.errors:
            try:
                said["kept"], said["notes"] = kept_picture(file.read())
            except TenterError as error:
                self.add_error("picture", f"{error}.")
            said["card"] = self.card()
        return said


class UploadForm(KeptUntilForm, PhotographFileForm):
    """A photograph, the card in it, and the day by which it is deleted."""


class PhotographForm(PhotographFileForm):
    """A photograph of a client. What is not sent of card and phone is as it was of the studio's latest photograph."""

    phone = forms.ChoiceField(
        required=False,
        label=gettext_lazy("The phone it was taken with"),
        help_text=gettext_lazy(
            "Photographs from a learned phone with the 24-patch card are corrected with what was learned."
        ),
    )
    sitting: "forms.ModelChoiceField[Sitting]" = forms.ModelChoiceField(
        None, required=False, label=gettext_lazy("Sitting"), empty_label=gettext_lazy("none")
    )
    field_order = ("camera", "picture", "chart", "values", "own_number", "phone", "sitting")

    def __init__(self, user: User, client: Client, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["camera"].label = _("Shoot, choose a file, or drop one here")
        self.fields["camera"].help_text = ""
        self.fields["picture"].label = _("A file that this phone has already")
        self.fields["picture"].help_text = _("JPEG, PNG, WebP, TIFF, HEIC or a raw file, as it came from the camera.")
        self._as_the_latest(client.owner)
        self._offer_phones(client)
        seen = access.sittings(user).filter(client=client)
        offer_rows(self, "sitting", seen, _when)

    def _as_the_latest(self, owner: User) -> None:
        """Take card and phone from the studio's latest photograph, so that nobody chooses them twice."""
        self.fields["chart"].required = False
        for name, value in last_card(owner).items():
            self.fields[name].initial = value
        latest = latest_photograph(owner)
        self.fields["phone"].initial = latest.phone if latest else ""

    def _offer_phones(self, client: Client) -> None:
        """Offer the phones of the client's studio."""
        names = sorted(phone_learning.by_name(client.owner))
        if not names:
            del self.fields["phone"]
            return
        unknown = ("", _("another phone, or not known"))
        choice_field(self, "phone").choices = [unknown, *((name, name) for name in names)]
        if self.fields["phone"].initial not in names:
            self.fields["phone"].initial = ""

    def clean(self) -> dict[str, Any]:
        """Fill in what was not sent, and hold the phone against the card that is chosen."""
        if not self.data.get("chart"):
            for name in ("chart", "values", "own_number", "phone"):
                if name in self.fields:
                    self.cleaned_data[name] = self.fields[name].initial
        said = super().clean()
        if said.get("phone") and said.get("chart") != ChartKind.CLASSIC24:
            self.add_error("phone", _("A learned phone needs the 24-patch card. Choose that card, or no phone."))
        return said

    @property
    def folded(self) -> list[forms.BoundField]:
        """The fields that are under a fold: all but the one control."""
        return [field for field in self.visible_fields() if field.name != "camera"]

    @property
    def card_words(self) -> str:
        """What is beside the face, and the phone, if nothing is changed."""
        chart, phone = self["chart"].value(), self["phone"].value() if "phone" in self.fields else ""
        return in_a_row([words for words in (card_within(chart or ""), phone) if words])


def _when(row: Sitting) -> str:
    return date_format(timezone.localtime(row.started), "DATETIME_FORMAT")
