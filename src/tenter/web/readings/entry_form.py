"""What the pages of readings may send: one reading by keyboard, a file of them, a wash."""

from collections.abc import Mapping
from datetime import date
from secrets import token_hex
from typing import TYPE_CHECKING, Any

from django import forms
from django.core.files.uploadedfile import UploadedFile
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from tenter import Kit
from tenter.colorimetry.illuminants import Observer, illuminant_names, observer_from
from tenter.colorimetry.measurement import Conditions
from tenter.consultation.cloths.kit import PLAUSIBLE_LAB
from tenter.consultation.readings.cloth_reading import (
    MOST_FOLDS,
    ClothReading,
    GivenAs,
    ReadingCircumstances,
    Ultraviolet,
    ultraviolet_from,
)
from tenter.consultation.readings.given_colour import lab_given
from tenter.consultation.readings.reading_files import ReadingsFile, parse_readings
from tenter.consultation.readings.reading_rows import ReadingDefaults, parse_decimal, require_surfaces
from tenter.consultation.readings.wash_log import Wash
from tenter.errors import TenterError
from tenter.language import local_number, long_date
from tenter.report.words.wording import sentence
from tenter.web.sent.sent_text import said_lines

if TYPE_CHECKING:
    from django.utils.functional import _StrPromise

_LARGEST = 5_000_000  # bytes: readings of a large kit with their spectra take a fifth of it
_MOST_TIMES = 12  # readings of a cloth in one go
_STRONGEST = 220.0  # C*ab: beyond the corner of what a* and b* may be
_UV = {
    Ultraviolet.UNKNOWN: gettext_lazy("not known"),
    Ultraviolet.WITH: gettext_lazy("with ultraviolet"),
    Ultraviolet.WITHOUT: gettext_lazy("without ultraviolet"),
}
_NUMBERS: dict[GivenAs, Mapping[str, tuple[str, float, float]]] = {
    GivenAs.LAB: {axis: (f"{axis}*", *PLAUSIBLE_LAB[axis]) for axis in "Lab"},
    GivenAs.LCH: {"L": ("L*", *PLAUSIBLE_LAB["L"]), "a": ("C*", 0.0, _STRONGEST), "b": ("h", 0.0, 360.0)},
}
REMEMBERED = ("given_as", "illuminant", "observer", "instrument", "backing", "folds", "uv")


def _number_field(label: "str | _StrPromise") -> forms.CharField:
    return forms.CharField(
        max_length=20, label=label, widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"})
    )


def _words(label: "_StrPromise", help_text: "_StrPromise") -> forms.CharField:
    return forms.CharField(max_length=120, required=False, label=label, help_text=help_text)


class _Taken(forms.Form):
    """How and when readings were taken."""

    illuminant = forms.ChoiceField(
        label=gettext_lazy("Measured under"), choices=lambda: [(n, n) for n in illuminant_names()]
    )
    observer = forms.ChoiceField(label=gettext_lazy("Observer"), choices=[(str(one), f"{one}°") for one in Observer])
    instrument = _words(gettext_lazy("Instrument"), gettext_lazy("Such as its name and number."))
    backing = _words(gettext_lazy("Backing"), gettext_lazy("What was under the cloth, such as white tile."))
    folds = forms.IntegerField(
        required=False,
        min_value=1,
        max_value=MOST_FOLDS,
        label=gettext_lazy("Folds"),
        help_text=gettext_lazy("Layers of cloth under the instrument."),
    )
    uv = forms.ChoiceField(
        required=False, label=gettext_lazy("Its lamp"), choices=[(str(uv), said) for uv, said in _UV.items()]
    )
    day = forms.DateField(
        label=gettext_lazy("Day"),
        initial=timezone.localdate,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    )
    key = forms.CharField(max_length=32, widget=forms.HiddenInput, initial=lambda: token_hex(16))

    def clean_day(self) -> date:
        """Return a day; raises `ValidationError` for one that has not come."""
        return _come(self.cleaned_data["day"])

    def _how(self, **more: str) -> ReadingCircumstances:
        said = self.cleaned_data
        return ReadingCircumstances(
            day=said["day"].isoformat(),
            instrument=said["instrument"],
            backing=said["backing"],
            folds=said["folds"],
            uv=ultraviolet_from(said["uv"] or Ultraviolet.UNKNOWN),
            **more,
        )

    @property
    def _conditions(self) -> Conditions:
        return Conditions(self.cleaned_data["illuminant"], observer_from(self.cleaned_data["observer"]))


def _come(day: date) -> date:
    if day > timezone.localdate():
        raise forms.ValidationError(_("This day has not come yet. Check the date."))
    return day


class ReadingForm(_Taken):
    """One reading, as an instrument shows it."""

    field_order = ("cloth", "L", "a", "b", "direction", "given_as", *REMEMBERED[1:], "place", "note", "day", "times")

    cloth = forms.CharField(
        max_length=120, label=gettext_lazy("Cloth"), widget=forms.TextInput(attrs={"autocomplete": "off"})
    )
    L = _number_field("L*")
    a = _number_field(gettext_lazy("a* or C*"))
    b = _number_field(gettext_lazy("b* or h"))
    direction = _words(gettext_lazy("Direction"), gettext_lazy("Of the pile or weave, such as along (optional)."))
    place = _words(gettext_lazy("Place on the cloth"), gettext_lazy("Such as left edge."))
    note = _words(gettext_lazy("Note"), gettext_lazy("A word to keep with it."))
    given_as = forms.ChoiceField(
        label=gettext_lazy("Numbers are"),
        choices=[(str(GivenAs.LAB), "L*, a*, b*"), (str(GivenAs.LCH), "L*, C*, h")],
    )
    times = forms.IntegerField(
        min_value=1, max_value=_MOST_TIMES, initial=1, label=gettext_lazy("Readings of each cloth"),
        help_text=gettext_lazy("After so many the next cloth is offered."),
    )  # fmt: skip

    def __init__(self, kit: Kit, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.kit = kit
        self.fields["L"].widget.attrs["autofocus"] = True

    @property
    def first_fields(self) -> list[forms.BoundField]:
        """What is typed for each reading."""
        return [self[name] for name in ("cloth", "L", "a", "b", "direction")]

    @property
    def other_fields(self) -> list[forms.BoundField]:
        """What stays the same from one reading to the next."""
        return [self[name] for name in ("given_as", *REMEMBERED[1:], "place", "note", "day", "times")]

    @property
    def other_wrong(self) -> bool:
        """Whether one of those that stay the same has a fault."""
        return any(field.errors for field in self.other_fields)

    def clean_cloth(self) -> str:
        """Return a cloth of the kit; raises `ValidationError` where it has none of that name."""
        name = str(self.cleaned_data["cloth"])
        if name in self.kit:
            return name
        same = next((one for one in self.kit.ids if one.casefold() == name.casefold()), None)
        if same is None:
            first, last = self.kit.ids[0], self.kit.ids[-1]
            raise forms.ValidationError(
                _("This kit has no cloth %(cloth)s. Its cloths run from %(first)s to %(last)s.")
                % {"cloth": name, "first": first, "last": last}
            )
        return same

    def clean(self) -> dict[str, Any]:
        """Make the reading; each number that cannot be is named."""
        said: dict[str, Any] = super().clean() or self.cleaned_data
        if "given_as" in said:
            numbers = _NUMBERS[GivenAs(said["given_as"])]
            said["numbers"] = [self._number(axis, *numbers[axis]) for axis in "Lab"]
        if not self.errors:
            self._read(said)
        return said

    def _number(self, axis: str, name: str, low: float, high: float) -> float:
        text = self.cleaned_data.get(axis)
        if text is None:
            return 0.0
        try:
            value = parse_decimal(text.replace("−", "-").strip())
        except ValueError:
            self.add_error(
                axis,
                _("“%(typed)s” is not a number. Type %(name)s as the instrument shows it.")
                % {"typed": text, "name": name},
            )
            return 0.0
        if not low <= value <= high:
            self.add_error(
                axis,
                _("%(name)s is from %(low)s to %(high)s, not %(typed)s.")
                % {"name": name, "low": local_number(low, 0), "high": local_number(high, 0), "typed": text},
            )
        return value

    def _read(self, said: dict[str, Any]) -> None:
        now = timezone.localtime()
        time = f"{now:%H:%M:%S}" if said["day"] == now.date() else ""
        conditions, space = self._conditions, GivenAs(said["given_as"])
        try:
            one = ClothReading(
                cloth=said["cloth"],
                lab=lab_given(space, said["numbers"], conditions),
                conditions=conditions,
                how=self._how(time=time, **{name: said[name] for name in ("direction", "place", "note")}),
                given_as=space,
            )
            require_surfaces([one], said["cloth"])
        except TenterError:
            self.add_error(
                "L", _("No cloth can have this colour. Check the three numbers and the light that they are for.")
            )
        else:
            said["reading"] = one


class ReadingsFileForm(_Taken):
    """Readings as a file; what it says itself goes before what is said here."""

    field_order = ("file", "cloth", *REMEMBERED[1:], "day")

    file = forms.FileField(
        label=gettext_lazy("File"),
        help_text=gettext_lazy("CSV, CGATS text (.txt, .ti3, .sp) or CxF3, as your instrument’s program writes it."),
        widget=forms.ClearableFileInput(attrs={"accept": ".csv,.txt,.ti3,.sp,.cgats,.cxf,.xml,.json"}),
    )
    cloth = forms.CharField(
        max_length=120,
        required=False,
        label=gettext_lazy("Cloth"),
        help_text=gettext_lazy("Only for a file of one reading that does not say of which cloth."),
    )

    def __init__(self, kit: Kit, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.kit = kit

    def clean_file(self) -> "UploadedFile[Any]":
        """Return a file; raises `ValidationError` for one that is too large."""
        file: UploadedFile[Any] = self.cleaned_data["file"]
        if (file.size or 0) > _LARGEST:
            raise forms.ValidationError(_("The file is larger than 5 MB. Send it in parts."))
        return file

    def clean(self) -> dict[str, Any]:
        """Read the file, so that each faulty row is named."""
        said: dict[str, Any] = super().clean() or self.cleaned_data
        if not self.errors:
            try:
                said["found"] = self._parsed(said["file"], said["cloth"])
            except TenterError as error:
                self.add_error("file", [f"{sentence(line)}." for line in said_lines(error)])
            else:
                self._check_cloths(said["found"])
        return said

    def _parsed(self, file: "UploadedFile[Any]", cloth: str) -> ReadingsFile:
        name = str(file.name)
        defaults = ReadingDefaults(self._how(), self._conditions, cloth or name.rsplit(".", 1)[0])
        return parse_readings(file.read(), name, defaults, named_in_file=not cloth)

    def _check_cloths(self, found: ReadingsFile) -> None:
        """Say which rows are of no cloth of the kit, and which days have not come."""
        today = timezone.localdate().isoformat()
        for one in found.readings:
            if one.cloth not in self.kit:
                self.add_error(
                    "file",
                    _("Row %(row)s: this kit has no cloth %(cloth)s.") % {"row": one.row, "cloth": one.cloth},
                )
            elif one.day > today:
                self.add_error(
                    "file", _("Row %(row)s: %(day)s has not come yet.") % {"row": one.row, "day": long_date(one.day)}
                )


class WashForm(forms.Form):
    """That a cloth was washed or cleaned."""

    prefix = "wash"

    kind = forms.CharField(max_length=120, label=gettext_lazy("How"), help_text=gettext_lazy("Such as machine, 30 °C."))
    day = forms.DateField(
        label=gettext_lazy("Day"),
        initial=timezone.localdate,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    )
    note = forms.CharField(max_length=120, required=False, label=gettext_lazy("Note"))
    key = forms.CharField(max_length=32, widget=forms.HiddenInput, initial=lambda: token_hex(16))

    def clean_day(self) -> date:
        """Return a day; raises `ValidationError` for one that has not come."""
        return _come(self.cleaned_data["day"])

    def wash_for(self, cloth: str) -> Wash:
        """Return what was done to a cloth."""
        said = self.cleaned_data
        return Wash(cloth, said["day"].isoformat(), said["kind"], said["note"])
