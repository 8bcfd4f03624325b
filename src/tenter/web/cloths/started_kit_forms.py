"""What the pages of a started kit may send: its name and light, a cloth, pasted rows, names and places."""

from typing import TYPE_CHECKING, Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, pgettext_lazy

from tenter.colorimetry.illuminants import Observer, illuminant_names, observer_from
from tenter.colorimetry.measurement import Conditions
from tenter.consultation.cloths.hue_families import HueFamily
from tenter.consultation.cloths.kit_rows import row_faults
from tenter.consultation.cloths.typed_cloth import HEX_NOTE, TypedAs, colour_cells, typed_colour
from tenter.errors import TenterError
from tenter.report.words import terms
from tenter.report.words.wording import sentence

if TYPE_CHECKING:
    from django_stubs_ext import StrPromise

# Characters of a number or role, of a name, place or note, and of pasted rows: a kit of 1,000 cloths with its notes.
_SHORT, _LONG, _LONGEST_PASTE = 40, 200, 200_000
_MOST_NAMED = 400  # cloths whose names and places one form has: Django takes 1,000 fields
_SPACES = [
    (str(TypedAs.LAB), "L*, a*, b*"),
    (str(TypedAs.LCH), "L*, C*, h"),
    (str(TypedAs.HEX), gettext_lazy("a hex code (last resort)")),
]
_NAMED = {"name": gettext_lazy("Name of %(cloth)s"), "place": gettext_lazy("Place of %(cloth)s")}
_BY_COLUMN = {"id": "number", "L": "colour", "a": "colour", "b": "colour"}  # the field of a column's fault


def _words(
    label: "str | StrPromise", most: int, help_text: "str | StrPromise" = "", *, needed: bool = False, **attrs: Any
) -> forms.CharField:
    widget = forms.TextInput(attrs={"autocomplete": "off", **attrs})
    return forms.CharField(max_length=most, required=needed, label=label, help_text=help_text, widget=widget)


class StartKitForm(forms.Form):
    """A kit's name, and the light that its colours are for."""

    prefix = "start"

    name = forms.CharField(max_length=80, label=gettext_lazy("Name of the new kit"))
    illuminant = forms.ChoiceField(
        label=gettext_lazy("Light the numbers are for"),
        initial="D65",
        choices=lambda: [(n, n) for n in illuminant_names()],
    )
    observer = forms.ChoiceField(
        label=gettext_lazy("Observer"),
        initial=str(Observer.CIE_1964_10),
        choices=[(str(one), f"{one}°") for one in Observer],
    )

    @property
    def light(self) -> Conditions:
        """What was chosen."""
        return Conditions(self.cleaned_data["illuminant"], observer_from(self.cleaned_data["observer"]))


class ClothForm(forms.Form):
    """A cloth, as it is typed or its label scanned; with `was` it is one that is there already."""

    number = _words(gettext_lazy("Number"), _SHORT, gettext_lazy("Type it, or scan the cloth’s label."), needed=True)
    name = _words(gettext_lazy("Name"), _LONG)
    given_as = forms.ChoiceField(label=gettext_lazy("The colour is"), choices=_SPACES)
    colour = _words(gettext_lazy("Colour"), _SHORT, gettext_lazy("Such as 82.1 15.7 25.5"))
    place = _words(gettext_lazy("Place"), _LONG, gettext_lazy("Such as rail A."))
    hue_family = forms.ChoiceField(
        required=False,
        label=gettext_lazy("Hue family"),
        help_text=gettext_lazy("Needed only for a metal or without a colour."),
        choices=lambda: [("", _("by its colour")), *((str(one), terms.hue(one)) for one in HueFamily)],
    )
    undertone = _words(
        gettext_lazy("Undertone by hand"),
        _SHORT,
        gettext_lazy("For a metal: warm above 0, cool below."),
        inputmode="decimal",
    )
    role = _words(pgettext_lazy("what a cloth is for", "Test"), _SHORT, gettext_lazy("Such as undertone-red-warm."))
    notes = _words(gettext_lazy("Notes"), _LONG)
    was = forms.CharField(max_length=_LONG, required=False, widget=forms.HiddenInput)

    def __init__(
        self, cloths: dict[str, dict[str, str]], read: frozenset[str], light: Conditions, *args: Any, **k: Any
    ):
        super().__init__(*args, **k)
        self._cloths, self._read, self._light = cloths, read, light

    @property
    def first_fields(self) -> list[forms.BoundField]:
        """What is typed for each cloth."""
        return [self[name] for name in ("number", "name", "colour", "place", "given_as")]

    @property
    def other_fields(self) -> list[forms.BoundField]:
        """What few cloths need."""
        return [self[name] for name in ("hue_family", "undertone", "role", "notes")]

    @property
    def other_wrong(self) -> bool:
        """Whether one of those that few need has a fault or is filled in."""
        return any(field.errors or field.value() for field in self.other_fields)

    def clean_number(self) -> str:
        """Return a number without the address that a label's code may have before it."""
        return scanned(self.cleaned_data["number"])

    def clean(self) -> dict[str, Any]:
        """Make the cloth's cells; each field that cannot be is named."""
        said: dict[str, Any] = super().clean() or self.cleaned_data
        if self.errors:
            return said
        number, was = said["number"], said["was"]
        if was and number != was:
            self.add_error("number", _("A cloth keeps its number. Take this one out and add another instead."))
        elif not was and number in self._cloths:
            self.add_error("number", _("%(number)s is there already.") % {"number": number})
        said["cells"] = self._cells(said, self._cloths.get(was, {}))
        if not self.errors:
            for column, problem in row_faults(said["cells"]):
                self.add_error(_BY_COLUMN.get(column, column), f"{sentence(problem)}.")
        return said

    def _cells(self, said: dict[str, Any], before: dict[str, str]) -> dict[str, str]:
        light = {"illuminant": self._light.illuminant, "observer": str(self._light.observer)}
        own = {name: said[name] for name in ("place", "hue_family", "role", "notes")}
        undertone = said["undertone"].replace("−", "-").replace(",", ".")
        cells = before | own | {"id": said["number"], "name": said["name"] or said["number"], "undertone": undertone}
        return cells | light | (self._colour(said) if said["colour"] else {})

    def _colour(self, said: dict[str, Any]) -> dict[str, str]:
        if said["number"] in self._read:
            self.add_error(
                "colour", _("This cloth has readings, which go before a typed colour. Enter a reading of it instead.")
            )
            return {}
        space = TypedAs.HEX if said["colour"].startswith("#") else TypedAs(said["given_as"])
        try:
            found = colour_cells(typed_colour(said["colour"], space, self._light))
        except TenterError as error:
            self.add_error("colour", f"{sentence(str(error))}.")
            return {}
        others = [part for part in said["notes"].split(" · ") if part and part != HEX_NOTE]
        return found | {"notes": " · ".join([HEX_NOTE, *others] if space is TypedAs.HEX else others)}


def scanned(text: str) -> str:
    """Return the number of a scanned label, whose code may have an address before it."""
    said = text.strip()
    return said.rstrip("/").replace("=", "/").rpartition("/")[2] if "://" in said else said


class PasteForm(forms.Form):
    """Rows as they are copied from a spreadsheet."""

    prefix = "paste"

    rows = forms.CharField(
        max_length=_LONGEST_PASTE,
        label=pgettext_lazy("lines of a table", "Rows"),
        strip=False,
        help_text=gettext_lazy(
            "A line each: number, name, three numbers or a hex code, place. A first line with headings may have them "
            "in another order."
        ),
        widget=forms.Textarea(attrs={"rows": 6, "spellcheck": "false"}),
    )
    given_as = forms.ChoiceField(label=gettext_lazy("The colours are"), choices=_SPACES)


class MakeKitForm(forms.Form):
    """What the kit is called once it is made."""

    prefix = "make"

    name = forms.CharField(max_length=80, label=gettext_lazy("Name of the kit"))


class NamesForm(forms.Form):
    """The name and place of every cloth, or of the first ones of a kit with very many."""

    def __init__(self, cloths: dict[str, dict[str, str]], *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._numbers = dict(enumerate(list(cloths)[:_MOST_NAMED]))
        for at, number in self._numbers.items():
            for column, called in _NAMED.items():
                field = _words(str(called) % {"cloth": number}, _LONG)
                field.initial = cloths[number].get(column, "")
                self.fields[f"{column}{at}"] = field

    def of_cloth(self, at: int) -> list[forms.BoundField]:
        """Return the fields of a cloth's name and place, by its place in the list from 0; none for those after."""
        return [self[f"{column}{at}"] for column in ("name", "place")] if at in self._numbers else []

    @property
    def said(self) -> dict[str, dict[str, str]]:
        """The name and place of each cloth by its number; a cloth without a name is called by its number."""
        given = self.cleaned_data
        return {
            number: {"name": given[f"name{at}"] or number, "place": given[f"place{at}"]}
            for at, number in self._numbers.items()
        }
