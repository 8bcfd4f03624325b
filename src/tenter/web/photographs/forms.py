"""A photograph as a page sends it: the picture, the card in it, and how long it is kept."""

from typing import Any

from django import forms
from django.contrib.auth.models import User
from django.utils import timezone

from tenter.errors import TenterError
from tenter.photo.cards import ChartKind
from tenter.photo.files.keeping import kept_picture
from tenter.web.models import Client, Sitting, usual_deletion
from tenter.web.photographs.card_forms import CardForm
from tenter.web.photographs.kept_until_forms import KeptUntilForm, PromiseForm
from tenter.web.pictures import phone_learning
from tenter.web.pictures.pictures import LARGEST_UPLOAD
from tenter.web.rules import access
from tenter.web.sent.typed_fields import choice_field, offer_rows

ACCEPTED_PICTURES = (
    "image/*,.webp,.heic,.heif,.dng,.tif,.tiff,.nef,.cr2,.cr3,.arw"  # as a browser's chooser of files wants it
)


class UploadForm(KeptUntilForm, CardForm):
    """A photograph, and the card in it. too_large: its file was left unread."""

    picture = forms.FileField(
        required=False,
        label="A file",
        help_text="Choose it, or drop it here. JPEG, PNG, WebP, TIFF, HEIC or a raw file, as it came from the camera.",
        widget=forms.FileInput(attrs={"accept": ACCEPTED_PICTURES}),
    )
    camera = forms.FileField(
        required=False,
        label="Or take one now",
        help_text="Opens the camera on a tablet or phone.",
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
            self.add_error(
                "picture", f"The file is larger than {LARGEST_UPLOAD // 1_000_000} MB. Export a smaller one."
            )
        elif file is None:
            self.add_error("picture", "Choose a file, or take a photograph.")
        elif not self.errors:
            try:
                said["kept"], said["notes"] = kept_picture(file.read())
            except TenterError as error:
                self.add_error("picture", f"{error}.")
            said["card"] = self.card()
        return said


class PhotographForm(PromiseForm, UploadForm):
    """A photograph of a client."""

    phone = forms.ChoiceField(
        required=False,
        label="The phone it was taken with",
        help_text="Photographs from a learned phone with the 24-patch card are corrected with what was learned.",
    )
    sitting: "forms.ModelChoiceField[Sitting]" = forms.ModelChoiceField(
        None, required=False, label="Sitting", empty_label="none"
    )
    field_order = (
        *("picture", "camera", "chart", "values", "own_number", "phone", "sitting"),
        *PromiseForm.field_order,
    )

    def __init__(self, user: User, client: Client, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["deletes_on"].initial = usual_deletion(minor=client.minor)
        self._offer_phones(client)
        seen = access.sittings(user).filter(client=client)
        offer_rows(self, "sitting", seen, lambda row: f"{timezone.localtime(row.started):%d %B %Y, %H:%M}")

    def _offer_phones(self, client: Client) -> None:
        """Offer the phones of the client's studio, and first the one that took the client's latest photograph."""
        names = sorted(phone_learning.by_name(client.owner))
        if not names:
            del self.fields["phone"]
            return
        choice_field(self, "phone").choices = [("", "another phone, or not known"), *((name, name) for name in names)]
        latest = client.photographs.order_by("-taken_at", "-pk").values_list("phone", flat=True).first()
        self.fields["phone"].initial = latest if latest in names else ""

    def clean(self) -> dict[str, Any]:
        """Hold the phone against the card that is chosen."""
        said = super().clean()
        if said.get("phone") and said.get("chart") != ChartKind.CLASSIC24:
            self.add_error("phone", "A learned phone needs the 24-patch card. Choose that card, or no phone.")
        return said
