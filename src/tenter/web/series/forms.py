"""What the page of two cloths in turn may send: the cloths, their order, and photographs, new ones or kept ones."""

import re
from collections.abc import Sequence
from typing import Any

from django import forms
from django.core.files.uploadedfile import UploadedFile
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from tenter.errors import TenterError
from tenter.photo.cards import ChartKind
from tenter.photo.files.keeping import kept_picture
from tenter.photo.series.measure import require_pattern
from tenter.report.words.wording import sentence
from tenter.web.models import Client, Photograph
from tenter.web.photographs.card_forms import CARD_CHOICES
from tenter.web.photographs.forms import ACCEPTED_PICTURES
from tenter.web.photographs.kept_until_forms import KeptUntilForm
from tenter.web.pictures.pictures import LARGEST_UPLOAD
from tenter.web.rules import keeping
from tenter.web.sent.typed_fields import offer_rows

MOST_FRAMES = 12  # photographs of one series; set by judgement
_CHARTS = (ChartKind.CLASSIC24, ChartKind.NONE)
_NUMBER = re.compile(r"(\d+)")


class _ManyFilesInput(forms.FileInput):
    """Chooses several files at once."""

    allow_multiple_selected = True

    def value_from_datadict(self, data: Any, files: Any, name: str) -> list[Any]:  # noqa: ARG002
        """Return all files of that name."""
        return list(files.getlist(name)) if hasattr(files, "getlist") else [files[name]] if name in files else []


class ManyFiles(forms.FileField):
    """Several files, in the order of their names, in which a camera counts."""

    widget = _ManyFilesInput

    def clean(self, data: Any, initial: Any = None) -> "list[UploadedFile[bytes]]":
        """Return the files, none as an empty list."""
        files = [super(ManyFiles, self).clean(file, initial) for file in data or ()]
        return sorted(files, key=lambda file: _by_number(file.name))


def _by_number(name: str) -> list[tuple[int, str]]:
    """Return what names are ordered by: 9 before 10."""
    return [(int(part) if part.isdecimal() else 0, part) for part in _NUMBER.split(name.lower())]


def _cloth() -> forms.TextInput:
    return forms.TextInput(attrs={"list": "cloths", "autocomplete": "off", "autocapitalize": "characters"})


class PatternForm(forms.Form):
    """Two cloths and the order in which they were held."""

    cloth_a = forms.CharField(max_length=40, label=gettext_lazy("Cloth A, by its number"), widget=_cloth())
    cloth_b = forms.CharField(max_length=40, label=gettext_lazy("Cloth B, by its number"), widget=_cloth())
    pattern = forms.CharField(
        max_length=16,
        initial="ABAB",
        label=gettext_lazy("Which cloth each photograph shows"),
        help_text=gettext_lazy("In the order they were taken: ABAB, ABBA, or ABABAB, so that one may fail."),
    )

    def clean_pattern(self) -> str:
        """Return the pattern in capitals without spaces."""
        return "".join(self.cleaned_data["pattern"].upper().split())

    def clean(self) -> dict[str, Any]:
        """Hold the cloths against one another."""
        said: dict[str, Any] = super().clean() or self.cleaned_data
        if said.get("cloth_a") and said.get("cloth_a") == said.get("cloth_b"):
            self.add_error("cloth_b", _("Name a different cloth from A."))
        return said

    def hold_against(self, count: int, chart: str) -> None:
        """Add an error where no series can be made of so many photographs beside such a card."""
        try:
            require_pattern(self.cleaned_data["pattern"], count, ChartKind(chart))
        except TenterError as error:
            self.add_error("pattern", f"{sentence(str(error))}.")


class SeriesForm(PatternForm, KeptUntilForm):
    """A series. too_large: a file was let pass by unread."""

    kept: "forms.ModelMultipleChoiceField[Photograph]" = forms.ModelMultipleChoiceField(
        None, required=False, widget=forms.CheckboxSelectMultiple, label=gettext_lazy("Kept photographs")
    )
    files = ManyFiles(  # type: ignore[assignment]  # a form is made without it, and has its own files
        required=False,
        label=gettext_lazy("New photographs, all at once"),
        help_text=gettext_lazy("Four or more, straight from the camera; they are sorted by name."),
    )
    chart = forms.ChoiceField(
        choices=[(kind.value, CARD_CHOICES[kind.value]) for kind in _CHARTS],
        label=gettext_lazy("In every picture"),
        help_text=gettext_lazy(
            "Hold the card flat beside the jaw, parallel to the face. Without a card Tenter uses the wall beside the "
            "head instead, and can say less."
        ),
    )
    field_order = (
        "cloth_a",
        "cloth_b",
        "files",
        "kept",
        "pattern",
        "chart",
        "deletes_on",
    )

    def __init__(
        self, client: Client, able: Sequence[Photograph], *args: Any, too_large: bool = False, **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self._too_large = too_large
        self.fields["deletes_on"].initial = keeping.photograph_day(client)
        self.fields["files"].widget.attrs |= {"accept": ACCEPTED_PICTURES, "multiple": True}
        self.fields["deletes_on"].required = False
        numbers = {row.pk: row.number for row in able}
        rows = Photograph.objects.filter(pk__in=numbers).order_by("taken_at", "pk")
        offer_rows(self, "kept", rows, lambda row: _("photograph %(number)s") % {"number": numbers[row.pk]})
        if not numbers:
            del self.fields["kept"]

    def clean(self) -> dict[str, Any]:
        """Take new photographs or kept ones, and hold their number against the pattern."""
        said = super().clean()
        files, kept = said.get("files") or [], list(said.get("kept") or ())
        said["kept"] = kept
        if self._too_large or sum(file.size for file in files) > LARGEST_UPLOAD:
            too_large = _("Together the files are larger than %(size)s MB. Export smaller ones.")
            self.add_error("files", too_large % {"size": LARGEST_UPLOAD // 1_000_000})
        elif bool(files) == bool(kept):
            self.add_error("files", _("Choose either new photographs or kept ones, not both."))
        elif max(len(files), len(kept)) > MOST_FRAMES:
            self.add_error("files", _("Choose at most %(most)s photographs.") % {"most": MOST_FRAMES})
        elif not self.errors:
            if files and not said.get("deletes_on"):
                self.add_error("deletes_on", _("Choose the day on which they are deleted."))
            self.hold_against(len(files) + len(kept), said["chart"])
            if not self.errors:
                said["pictures"] = self._read(files)
        return said

    def _read(self, files: "list[UploadedFile[bytes]]") -> list[bytes]:
        """Return the pictures in the files: what they hold besides is dropped."""
        found: dict[bytes, str | None] = {}  # and the file that each came in
        for file in files:
            try:
                picture = kept_picture(file.read())[0]
            except TenterError as error:
                self.add_error("files", f"{file.name}: {error}.")
                continue
            if picture in found:
                self.add_error("files", _twice(file.name or "", found[picture] or ""))
            found[picture] = file.name
        return list(found)


def _twice(file: str, other: str) -> str:
    said = (
        _("%(file)s came twice. Choose each photograph once.")
        if file == other
        else _("%(file)s and %(other)s are the same photograph. Choose each photograph once.")
    )
    return said % {"file": file, "other": other}
