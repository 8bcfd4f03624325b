"""What the pages of the stock may send: snippets one at a time, as a table or out of a kit, and what comes and goes."""

from collections.abc import Sequence
from secrets import token_hex
from typing import Any

from django import forms
from django.db.models import QuerySet
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from tenter.colorimetry.illuminants import Observer, illuminant_names, observer_from
from tenter.colorimetry.measurement import Conditions
from tenter.consultation.stock.files import parse_snippets
from tenter.consultation.stock.movements import Movement, MovementReason, to_count
from tenter.consultation.stock.pick_list import WITHIN, WITHIN_NEUTRAL
from tenter.consultation.stock.snippets import LARGEST_DRAWER, LONGEST_NAME, Snippet, Stock, snippets_of_kit
from tenter.errors import TenterError
from tenter.report.words.wording import sentence
from tenter.web.models import KitRecord
from tenter.web.sent.sent_text import said_lines, text_of
from tenter.web.sent.typed_fields import choice_field, offer_rows
from tenter.web.stock import stock_room
from tenter.web.store import store

_LARGEST = 2_000_000  # bytes
_NUMBER = {"step": "any"}
_CAME = {
    MovementReason.BOUGHT: gettext_lazy("Bought or cut: add them"),
    MovementReason.COUNTED: gettext_lazy("Counted: this is the number in the drawer"),
}


def _faults(error: TenterError) -> list[str]:
    return [f"{sentence(line)}." for line in said_lines(error)]


class _Counts(forms.Form):
    """How many pieces there are, and at how few they are reordered."""

    count = forms.IntegerField(min_value=0, max_value=LARGEST_DRAWER, initial=1, label=gettext_lazy("Pieces"))
    reorder_at = forms.IntegerField(
        min_value=0,
        max_value=LARGEST_DRAWER,
        required=False,
        label=gettext_lazy("Reorder at"),
        help_text=gettext_lazy("Listed for reordering at this number. Leave it empty for never."),
    )


class SnippetForm(_Counts):
    """One snippet, measured by hand."""

    prefix = "one"
    field_order = ("drawer", "name", "L", "a", "b", "illuminant", "observer", "count", "reorder_at")

    drawer = forms.CharField(
        max_length=20,
        label=gettext_lazy("Drawer"),
        help_text=gettext_lazy("A number of up to 12 letters and digits, such as 12 or A3."),
    )
    name = forms.CharField(
        max_length=LONGEST_NAME,
        required=False,
        label=gettext_lazy("Name"),
        help_text=gettext_lazy("What you call it, such as coral wool."),
    )
    L = forms.FloatField(label="L*", widget=forms.NumberInput(attrs=_NUMBER))
    a = forms.FloatField(label="a*", widget=forms.NumberInput(attrs=_NUMBER))
    b = forms.FloatField(label="b*", widget=forms.NumberInput(attrs=_NUMBER))
    illuminant = forms.ChoiceField(
        label=gettext_lazy("Measured under"),
        initial="D65",
        choices=lambda: [(name, name) for name in illuminant_names()],
    )
    observer = forms.ChoiceField(
        label=gettext_lazy("Observer"),
        initial=str(Observer.CIE_1964_10),
        choices=[(str(one), f"{one}°") for one in Observer],
    )

    def clean(self) -> dict[str, Any]:
        """Make the snippet, so that what cannot be is named."""
        said: dict[str, Any] = super().clean() or self.cleaned_data
        if not self.errors:
            try:
                light = Conditions(said["illuminant"], observer_from(said["observer"]))
                lab = (said["L"], said["a"], said["b"])
                one = Snippet(said["drawer"], said["name"], lab, light, said["count"], said["reorder_at"])
                said["snippets"] = (one,)
            except TenterError as error:
                self.add_error(None, _faults(error))
        return said


class StockTableForm(_Counts):
    """Snippets as a table: a stock file, or a kit file."""

    prefix = "table"
    field_order = ("table", "count", "reorder_at")

    table = forms.FileField(
        label="stock.csv",
        help_text=gettext_lazy(
            "With the columns drawer, name, L, a, b, illuminant, observer, and count and reorder_at if you like. A "
            "drapes.csv works too: its ids become the drawers’ numbers, with the counts below."
        ),
        widget=forms.ClearableFileInput(attrs={"accept": ".csv,text/csv"}),
    )

    def clean_table(self) -> tuple[str, str]:
        """Return the table's name and its text.

        Raises `ValidationError` for a file over 2 MB or one that is no text.
        """
        file = self.cleaned_data["table"]
        if file.size > _LARGEST:
            raise forms.ValidationError(
                _("The file is larger than 2 MB, but a stock is a short table of text. Choose another file.")
            )
        return file.name, text_of(file)

    def clean(self) -> dict[str, Any]:
        """Read the table, so that each faulty row is named."""
        said: dict[str, Any] = super().clean() or self.cleaned_data
        if self.errors:
            return said
        name, text = said["table"]
        try:
            said["snippets"] = parse_snippets(text, name, said["count"], said["reorder_at"])
        except TenterError as error:
            self.add_error("table", _faults(error))
        return said


class FromKitForm(_Counts):
    """The cloths of a kit as snippets: so what was photographed as cloths becomes stock."""

    prefix = "kit"
    field_order = ("kit", "count", "reorder_at")

    kit: "forms.ModelChoiceField[KitRecord]" = forms.ModelChoiceField(
        None,
        empty_label=None,
        label=gettext_lazy("Kit"),
        help_text=gettext_lazy(
            "Each measured cloth becomes a snippet in a drawer of its number. Metals are left out, since a metal "
            "cannot be judged by one colour value."
        ),
    )

    def __init__(self, kits: QuerySet[KitRecord], *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        offer_rows(self, "kit", kits)

    def clean(self) -> dict[str, Any]:
        """Read the kit's cloths."""
        said: dict[str, Any] = super().clean() or self.cleaned_data
        if not self.errors:
            try:
                said["snippets"] = snippets_of_kit(store.kit_of(said["kit"]), said["count"], said["reorder_at"])
            except TenterError as error:
                self.add_error("kit", _faults(error))
        return said


class MoveForm(forms.Form):
    """What came into a drawer, or how many pieces are in it."""

    prefix = "move"
    why = forms.ChoiceField(
        label=gettext_lazy("Why the number changes"), choices=[(str(why), words) for why, words in _CAME.items()]
    )
    pieces = forms.IntegerField(min_value=0, max_value=LARGEST_DRAWER, label=gettext_lazy("Pieces"))
    note = forms.CharField(
        max_length=120,
        required=False,
        label=gettext_lazy("Note"),
        help_text=gettext_lazy("Where from, or why (optional)."),
    )
    key = forms.CharField(max_length=64, widget=forms.HiddenInput, initial=lambda: token_hex(16))

    def __init__(self, stock: Stock, drawer: str, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.stock, self.drawer = stock, drawer

    def clean(self) -> dict[str, Any]:
        """Make the movement."""
        said: dict[str, Any] = super().clean() or self.cleaned_data
        if self.errors:
            return said
        try:
            if said["why"] == MovementReason.COUNTED:
                said["moved"] = to_count(self.stock, self.drawer, said["pieces"], stock_room.now(), said["note"])
            else:
                said["moved"] = (
                    Movement(self.drawer, said["pieces"], MovementReason.BOUGHT, stock_room.now(), said["note"]),
                )
        except TenterError as error:
            self.add_error("pieces", _faults(error))
        return said


class LabelForm(forms.Form):
    """What a snippet is called, and at how few it is reordered."""

    prefix = "label"

    name = forms.CharField(max_length=LONGEST_NAME, label=gettext_lazy("Name"))
    reorder_at = forms.IntegerField(
        min_value=0,
        max_value=LARGEST_DRAWER,
        required=False,
        label=gettext_lazy("Reorder at"),
        help_text=gettext_lazy("Leave it empty for never."),
    )


def _how_far() -> list[tuple[str, str]]:
    usual = {"colours": f"{WITHIN:g}", "neutrals": f"{WITHIN_NEUTRAL:g}"}
    offered = [(f"{far:g}", f"ΔE00 {far:g}") for far in (2.0, 4.0, 5.0, 6.0)]
    return [(WithinForm.USUAL, _("ΔE00 %(colours)s, neutrals %(neutrals)s (usual)") % usual), *offered]


class WithinForm(forms.Form):
    """How far a snippet may be from its colour."""

    USUAL = ""

    within = forms.TypedChoiceField(
        required=False,
        coerce=float,
        empty_value=None,
        label=gettext_lazy("A snippet may differ by"),
        choices=_how_far,
    )


class TakeForm(forms.Form):
    """Which drawers a piece comes out of."""

    drawers = forms.MultipleChoiceField(
        error_messages={
            "required": gettext_lazy("No drawer was ticked, so nothing was counted."),
            "invalid_choice": gettext_lazy(
                "Drawer %(value)s is no longer on the list, so nothing was counted. Look at the list again."
            ),
        }
    )
    key = forms.CharField(max_length=64)

    def __init__(self, drawers: Sequence[str], *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        choice_field(self, "drawers").choices = [(drawer, drawer) for drawer in drawers]
