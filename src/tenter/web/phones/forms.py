"""Photographs of the card that a phone is learned from, as a page sends them."""

import re
from typing import Any

from django import forms
from django.core.files.uploadedfile import UploadedFile
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from tenter.errors import TenterError, UnreadableInput
from tenter.photo.card.learned_camera import MAX_PHOTOGRAPHS, MIN_PHOTOGRAPHS, require_name
from tenter.photo.files.keeping import kept_picture
from tenter.photo.reasons import unreadable
from tenter.report.words.wording import sentence
from tenter.web.photographs.card_forms import VALUES
from tenter.web.photographs.forms import ACCEPTED_PICTURES
from tenter.web.pictures.pictures import LARGEST_UPLOAD
from tenter.web.series.forms import ManyFiles

_SPACES = re.compile(r"\s+")


class PhoneForm(forms.Form):
    """A phone's name and three to six photographs of the card by it. too_large: a file was let pass by unread."""

    phone = forms.CharField(
        max_length=40,
        label=gettext_lazy("Name of the phone"),
        help_text=gettext_lazy(
            "Letters a to z, digits and hyphens, as in studio-phone. Use the same name to learn a phone again."
        ),
        widget=forms.TextInput(attrs={"autocomplete": "off", "autocapitalize": "none", "spellcheck": "false"}),
    )
    files = ManyFiles(  # type: ignore[assignment]  # a form is made without it, and has its own files
        required=False,
        label=gettext_lazy("Photographs of the card, all at once"),
        help_text=gettext_lazy("Three to six, each in a different light, unedited."),
    )
    values = forms.ChoiceField(
        choices=list(VALUES.items()),
        label=gettext_lazy("The card’s figures"),
        help_text=gettext_lazy("Choose by the year printed on it, or the mean if you do not know."),
    )

    def __init__(self, *args: Any, too_large: bool = False, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._too_large = too_large
        self.fields["files"].widget.attrs |= {"accept": ACCEPTED_PICTURES, "multiple": True}

    def clean_phone(self) -> str:
        """Return the name in small letters, its spaces as hyphens.

        Raises `ValidationError` for one that no phone can have.
        """
        name = _SPACES.sub("-", self.cleaned_data["phone"].strip().lower())
        try:
            require_name(name)
        except TenterError as error:
            raise forms.ValidationError(f"{sentence(str(error))}.") from None
        return name

    def clean(self) -> dict[str, Any]:
        """Count the photographs and read them: what a file holds besides its picture is dropped."""
        said: dict[str, Any] = super().clean() or self.cleaned_data
        files = said.get("files") or []
        if self._too_large or sum(file.size for file in files) > LARGEST_UPLOAD:
            too_large = _("Together the files are larger than %(size)s MB. Export smaller ones.")
            self.add_error("files", too_large % {"size": LARGEST_UPLOAD // 1_000_000})
        elif not MIN_PHOTOGRAPHS <= len(files) <= MAX_PHOTOGRAPHS:
            came = ngettext("You sent %(count)s photograph.", "You sent %(count)s photographs.", len(files))
            choose = _("Choose three to six of the card, taken with this phone, each in a different light.")
            self.add_error("files", f"{came % {'count': len(files)}} {choose}")
        elif not self.errors:
            said["pictures"] = self._read(files)
        return said

    def _read(self, files: "list[UploadedFile[bytes]]") -> list[tuple[str, bytes, str]]:
        """Return of each file its name, its picture, and why it is left out where it cannot be read."""
        found = []
        for file in files:
            try:
                found.append((file.name or "", kept_picture(file.read())[0], ""))
            except UnreadableInput as error:
                found.append((file.name or "", b"", unreadable(error).text))
            except TenterError as error:
                found.append((file.name or "", b"", f"{sentence(str(error))}."))
        if sum(not problem for _name, _picture, problem in found) < MIN_PHOTOGRAPHS:
            for name, _picture, problem in found:
                if problem:
                    said = _("%(file)s cannot be read: %(problem)s")
                    self.add_error("files", said % {"file": name, "problem": problem})
            few = _("At least three usable photographs are needed. Choose others in place of these.")
            self.add_error("files", few)
        return found
