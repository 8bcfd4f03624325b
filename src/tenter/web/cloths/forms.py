"""What the pages of photographed cloths may send: the photograph, where the cloths are, their numbers, and a kit."""

import json
from collections.abc import Mapping, Sequence
from typing import Any

from django import forms
from django.db.models import QuerySet
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from tenter.consultation.cloths.hue_families import HueFamily
from tenter.consultation.cloths.kit import Drape
from tenter.errors import TenterError
from tenter.photo.cards import ChartKind
from tenter.photo.cloth.rack import MAX_CELLS, Order, in_order, numbers_from
from tenter.report.pictures.cloth_picture import place_key
from tenter.web.models import ClothPhotograph, KitRecord
from tenter.web.photographs.card_forms import CARD_CHOICES
from tenter.web.photographs.correction_forms import called_even
from tenter.web.photographs.forms import UploadForm
from tenter.web.photographs.kept_until_forms import DateForm
from tenter.web.pictures.cloth_measuring import Where
from tenter.web.sent.typed_fields import choice_field, offer_rows

Shows = ClothPhotograph.Shows
SHOWN = {
    str(Shows.RACK): gettext_lazy("A rack of cloths"),
    str(Shows.CLOTH): gettext_lazy("One cloth or garment"),
    str(Shows.PRINT): gettext_lazy("A print"),
}
_ORDERS = {
    Order.ROWS.value: gettext_lazy("row by row"),
    Order.COLUMNS.value: gettext_lazy("column by column"),
    Order.SNAKE.value: gettext_lazy("row by row, to and fro"),
}
_DELETED = gettext_lazy("The picture is deleted automatically on that day. Colours put into a kit stay there.")
NOTHING_TO_COUNT_ON = gettext_lazy("There is no number to count on from. Enter one such as D001.")
_HOW_MANY = {
    "rows": gettext_lazy("Say how many rows of cloths the rack has."),
    "columns": gettext_lazy("Say how many columns of cloths the rack has."),
}
# Characters of a cloth's number, and rows or columns of a rack, set by judgement; a rack is seen as a quadrangle.
_LONGEST_NUMBER, _MOST_LINES, _RACK_CORNERS = 40, 40, 4
# An outline's corners, its characters as JSON, and pixels from a picture's edge: above what a hand draws and a camera
# takes, so that no more is read. Set by judgement.
_MOST_CORNERS, _LONGEST_OUTLINE, _FURTHEST = 60, 5_000, 1e5


class _LaidOut(forms.Form):
    """What is in the picture, and how it is laid out."""

    shows = forms.ChoiceField(choices=list(SHOWN.items()), label=gettext_lazy("In the picture"), initial=Shows.RACK)
    rows = forms.IntegerField(min_value=1, max_value=_MOST_LINES, required=False, label=gettext_lazy("Rows"))
    columns = forms.IntegerField(min_value=1, max_value=_MOST_LINES, required=False, label=gettext_lazy("Columns"))

    def clean(self) -> dict[str, Any]:
        """Ask for rows and columns where there is a rack; anything else is one cloth."""
        said: dict[str, Any] = super().clean() or self.cleaned_data
        if said.get("shows") != Shows.RACK:
            said["rows"] = said["columns"] = 1
            return said
        for name, asked in _HOW_MANY.items():
            if said.get(name) is None and name not in self.errors:
                self.add_error(name, asked)
        if not self.errors and said["rows"] * said["columns"] > MAX_CELLS:
            self.add_error(
                "rows", _("A rack has at most %(most)s places. Photograph it in parts.") % {"most": MAX_CELLS}
            )
        return said


class _Counted(forms.Form):
    """How numbers follow one another on a rack."""

    first = forms.CharField(max_length=_LONGEST_NUMBER, required=False, label=gettext_lazy("The first number"))
    order = forms.ChoiceField(choices=list(_ORDERS.items()), required=False, label=gettext_lazy("The numbers run"))


class ClothUploadForm(UploadForm, _Counted, _LaidOut):
    """A photograph of cloths beside a card."""

    field_order = (
        *("shows", "rows", "columns", "first", "order", "picture", "camera"),
        *("chart", "values", "own_number", "deletes_on"),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["chart"].label = _("Beside the cloths")
        choice_field(self, "chart").choices = [
            (key, name) for key, name in CARD_CHOICES.items() if key != ChartKind.NONE
        ]
        self.fields["chart"].help_text = _("A grey card or paper shows only the light, so intervals are wide.")
        self.fields["first"].help_text = _("The others follow from it; you can change each one after measuring.")
        self.fields["deletes_on"].help_text = _DELETED

    def clean(self) -> dict[str, Any]:
        """Count the numbers on, so that a first one that cannot be is told at once."""
        said = super().clean()
        if not self.errors:
            try:
                said["numbers"] = numbered_places(said, None)
            except TenterError:
                self.add_error("first", NOTHING_TO_COUNT_ON)
        return said


class ClothDateForm(DateForm):
    """Another day, for a picture of cloths."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["deletes_on"].help_text = _DELETED


def outline_from(text: str) -> tuple[tuple[float, float], ...]:
    """Return the corners that a page sent as JSON, in pixels; raises `ValidationError` where they are none."""
    try:
        corners = tuple((float(x), float(y)) for x, y in json.loads(text[:_LONGEST_OUTLINE] or "[]"))
    except (ValueError, TypeError, RecursionError):
        raise forms.ValidationError(_("The corners cannot be read. Mark them again.")) from None
    if len(corners) > _MOST_CORNERS or not all(0 <= number <= _FURTHEST for corner in corners for number in corner):
        raise forms.ValidationError("A corner is outside the picture. Mark the corners again.")
    return corners


class AgainForm(_LaidOut):
    """Another look at the picture: what is in it, how it is laid out, and where it is."""

    outline = forms.CharField(required=False, max_length=_LONGEST_OUTLINE, widget=forms.HiddenInput)

    def clean_outline(self) -> tuple[tuple[float, float], ...]:
        """Return the corners that were tapped, in pixels of the picture as it is drawn."""
        return outline_from(self.cleaned_data["outline"])

    def clean(self) -> dict[str, Any]:
        """Ask for the corners that a rack has, or for those of an outline."""
        said = super().clean()
        count = len(said.get("outline", ()))
        if count and said.get("shows") == Shows.RACK and count != _RACK_CORNERS:
            said_of = ngettext(
                "A rack has %(wanted)s corners, but %(count)s was marked. Mark them again.",
                "A rack has %(wanted)s corners, but %(count)s were marked. Mark them again.",
                count,
            )
            self.add_error("outline", said_of % {"wanted": _RACK_CORNERS, "count": count})
        elif count in (1, 2):
            self.add_error("outline", _("An outline needs three or more corners. Mark them again."))
        return said

    @property
    def where(self) -> Where:
        """Return where the cloths are said to be, and what of the light on the card."""
        return Where(self.cleaned_data["outline"], called_even(self.data))


class CountForm(_Counted):
    """Numbers counted anew."""

    skip = forms.BooleanField(required=False, label=gettext_lazy("A place without a cloth cannot have a number"))


def numbered_places(said: Mapping[str, Any], read: Sequence[str] | None) -> dict[str, str]:
    """Return the number of each place of a photograph; raises `TenterError` where there is none to count on from.

    said: what the forms above have said, rows and columns among it. read: the places that alone are to have a number;
    all of them without it.
    """
    if said["shows"] == Shows.PRINT or not said["first"]:
        return {}
    if said["shows"] == Shows.CLOTH:
        return {place_key(1, 1): said["first"]}
    rows, columns = said["rows"], said["columns"]
    turns = in_order([str(k) for k in range(rows * columns)], rows, columns, Order(said["order"] or Order.ROWS))
    places = {int(turn): place_key(r, c) for r, line in enumerate(turns, 1) for c, turn in enumerate(line, 1)}
    wanted = [places[turn] for turn in sorted(places) if read is None or places[turn] in read]
    return dict(zip(wanted, numbers_from(said["first"], len(wanted)), strict=True))


class NumbersForm(forms.Form):
    """The number of each cloth that was read; one without a number is left out."""

    def __init__(self, places: Sequence[str], *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for key in places:
            self.fields[key] = forms.CharField(max_length=_LONGEST_NUMBER, required=False)

    def clean(self) -> dict[str, Any]:
        """Return the numbers, each held against what a kit takes and against the others.

        Raises `ValidationError` where no cloth has one.
        """
        said: dict[str, Any] = super().clean() or self.cleaned_data
        seen: dict[str, str] = {}
        for key, number in list(said.items()):
            if not number:
                continue
            try:
                Drape(number, number, HueFamily.GREY)
            except TenterError as error:
                self.add_error(key, f"{error}.")
            if number in seen:
                self.add_error(key, _("%(number)s is already used for another cloth.") % {"number": number})
            seen[number] = key
        if not seen and not self.errors:
            raise forms.ValidationError(_("Give at least one cloth a number."))
        return said

    @property
    def numbers(self) -> dict[str, str]:
        """Return the numbers that were given, by place."""
        return {key: number for key, number in self.cleaned_data.items() if number}


def _kit_since(row: KitRecord) -> str:
    day = date_format(timezone.localtime(row.created), "DATE_FORMAT")
    return _("%(kit)s, since %(day)s") % {"kit": row.name, "day": day}


class KitChoice(forms.Form):
    """The kit that measured colours are put into."""

    kit = forms.ModelChoiceField(
        KitRecord.objects.none(),
        required=False,
        label=gettext_lazy("Into"),
        empty_label=gettext_lazy("a kit of these cloths only"),
    )

    def __init__(self, kits: QuerySet[KitRecord], *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        offer_rows(self, "kit", kits, _kit_since)


class IntoKitForm(KitChoice):
    """A new kit, and by `seen` the very colours that were looked at."""

    name = forms.CharField(max_length=80, label=gettext_lazy("Name of the new kit"))
    seen = forms.CharField(max_length=64, widget=forms.HiddenInput)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["kit"].widget = forms.HiddenInput()
