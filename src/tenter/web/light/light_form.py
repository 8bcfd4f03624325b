"""What the page of the light may send: what a meter shows, or a spectrum, and lux at five points of the face."""

import re
from secrets import token_hex
from typing import TYPE_CHECKING, Any

from django import forms
from django.core.files.uploadedfile import UploadedFile
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from tenter.arrays import FloatArray
from tenter.consultation.readings.reading_rows import parse_decimal
from tenter.errors import TenterError
from tenter.language import as_written
from tenter.light.face_lux import MOST_LUX, FaceLux
from tenter.light.light_values import METER_RANGES, LightValues, values_of_meter, values_of_spectrum
from tenter.light.spectrum_files import parse_lamp_spectrum
from tenter.numerals import trimmed
from tenter.report.words.wording import sentence
from tenter.web.sent.sent_text import said_lines

if TYPE_CHECKING:
    from django.utils.functional import _StrPromise

_LARGEST = 2_000_000  # bytes: a spectrum takes some thousand
_UNIT = re.compile(r"\s*(k|lx|lux)$", re.IGNORECASE)  # as a meter shows it behind the number
_METER: "dict[str, str | _StrPromise]" = {
    "cct": gettext_lazy("Colour temperature, K"),
    "ra": "Ra",
    "r9": "R9",
    "duv": "Duv",
}
# In the order in which they lie on the face, as whoever stands before the client sees it.
_LUX = {
    "forehead": gettext_lazy("Forehead"),
    "cheek_right": gettext_lazy("Right cheek"),
    "nose": gettext_lazy("Nose"),
    "cheek_left": gettext_lazy("Left cheek"),
    "chin": gettext_lazy("Chin"),
}


def of_lamp(light: LightValues) -> dict[str, str]:
    """Return what a meter showed of a lamp, as it is typed, for the next check in the same light; no lux."""
    shown = {"cct": light.cct_kelvin, "ra": light.ra, "r9": light.r9, "duv": light.duv}
    return {name: as_written(trimmed(value)) for name, value in shown.items() if value is not None}


def _field(label: "str | _StrPromise") -> forms.CharField:
    shown = forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"})
    return forms.CharField(max_length=20, required=False, label=label, widget=shown)


class LightForm(forms.Form):
    """A light as it was measured."""

    cct = _field(_METER["cct"])
    ra = _field(_METER["ra"])
    r9 = _field(_METER["r9"])
    duv = _field(_METER["duv"])
    forehead = _field(_LUX["forehead"])
    cheek_right = _field(_LUX["cheek_right"])
    nose = _field(_LUX["nose"])
    cheek_left = _field(_LUX["cheek_left"])
    chin = _field(_LUX["chin"])
    spectrum = forms.FileField(
        required=False,
        label=gettext_lazy("Or its spectrum"),
        help_text=gettext_lazy("CSV, CGATS text (.sp) or IES TM-27 XML. The temperature, Ra, R9 and Duv come from it."),
        widget=forms.ClearableFileInput(attrs={"accept": ".csv,.txt,.sp,.xml,.tm27"}),
    )
    key = forms.CharField(max_length=64, widget=forms.HiddenInput, initial=lambda: token_hex(16))

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        first = "forehead" if self.initial.get("cct") and not self.is_bound else "cct"
        self.fields[first].widget.attrs["autofocus"] = True

    @property
    def meter_fields(self) -> list[forms.BoundField]:
        """What a colour meter shows, in the order in which it is typed."""
        return [self[name] for name in _METER]

    @property
    def lux_fields(self) -> list[forms.BoundField]:
        """Lux at the points of the face, in the order in which they are typed."""
        return [self[name] for name in _LUX]

    def clean(self) -> dict[str, Any]:
        """Make the light's values; each number that cannot be is named."""
        said: dict[str, Any] = super().clean() or self.cleaned_data
        meter = self._numbers({name: METER_RANGES[name] for name in _METER})
        lux = self._numbers(dict.fromkeys(_LUX, (0.0, MOST_LUX)))
        if self.errors:
            return said
        file = said.get("spectrum")
        if file and meter:
            self.add_error(
                "spectrum", _("Give the spectrum or the meter’s values, not both. Lux may come with either.")
            )
        elif file:
            self._read_spectrum(said, file)
        elif meter or lux:
            said["light"] = values_of_meter(meter) if meter else values_of_meter({"lux": next(iter(lux.values()))})
            said["power"] = None
        else:
            self.add_error("cct", _("Nothing was entered. Type what the meter shows, or choose a spectrum."))
        if not self.errors and lux:
            said["light"] = said["light"].with_face(FaceLux(**lux))
        return said

    def _numbers(self, ranges: dict[str, tuple[float, float]]) -> dict[str, float]:
        """Return the numbers that were typed, by field; notes a fault at each that cannot be."""
        found: dict[str, float] = {}
        for name, (low, high) in ranges.items():
            text = self.cleaned_data.get(name, "")
            if not text:
                continue
            ends = {"low": as_written(trimmed(low)), "high": as_written(trimmed(high)), "typed": text}
            try:
                value = parse_decimal(_UNIT.sub("", text.replace("−", "-").strip()))
            except ValueError:
                told = _("“%(typed)s” can’t be used. Type a number from %(low)s to %(high)s, as the meter shows it.")
                self.add_error(name, told % ends)
                continue
            if low <= value <= high:
                found[name] = value
            else:
                self.add_error(name, _("It is from %(low)s to %(high)s, not %(typed)s.") % ends)
        return found

    def _read_spectrum(self, said: dict[str, Any], file: "UploadedFile[Any]") -> None:
        if (file.size or 0) > _LARGEST:
            self.add_error(
                "spectrum", _("The file is larger than 2 MB, but a spectrum is a short text. Choose another.")
            )
            return
        try:
            found = parse_lamp_spectrum(file.read(), str(file.name))
            said["light"], said["power"] = values_of_spectrum(found), found.power
        except TenterError as error:
            self.add_error("spectrum", [f"{sentence(line)}." for line in said_lines(error)])

    @property
    def light(self) -> LightValues:
        """The light's values, of a form that is valid."""
        found: LightValues = self.cleaned_data["light"]
        return found

    @property
    def power(self) -> FloatArray | None:
        """The light's spectrum (81,), in any unit, of a form that is valid; None without one."""
        found: FloatArray | None = self.cleaned_data["power"]
        return found
