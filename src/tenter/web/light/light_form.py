"""What the page of the light may send: what a meter shows, or a spectrum, and lux at five points of the face."""

from secrets import token_hex
from typing import Any

from django import forms
from django.core.files.uploadedfile import UploadedFile

from tenter.arrays import FloatArray
from tenter.consultation.readings.reading_rows import parse_decimal
from tenter.errors import TenterError
from tenter.light.face_lux import MOST_LUX, FaceLux
from tenter.light.light_values import METER_RANGES, LightValues, values_of_meter, values_of_spectrum
from tenter.light.spectrum_files import parse_lamp_spectrum
from tenter.numerals import trimmed
from tenter.report.words.wording import sentence
from tenter.web.sent.sent_text import said_lines

_LARGEST = 2_000_000  # bytes: a spectrum takes some thousand
_METER = {"cct": "Colour temperature, K", "ra": "Ra", "r9": "R9", "duv": "Duv"}
# In the order in which they lie on the face, as whoever stands before the client sees it.
_LUX = {
    "forehead": "Forehead",
    "cheek_right": "Right cheek",
    "nose": "Nose",
    "cheek_left": "Left cheek",
    "chin": "Chin",
}


def _field(label: str) -> forms.CharField:
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
        label="Or its spectrum",
        help_text="CSV, CGATS text (.sp) or IES TM-27 XML. The temperature, Ra, R9 and Duv come from it.",
        widget=forms.ClearableFileInput(attrs={"accept": ".csv,.txt,.sp,.xml,.tm27"}),
    )
    key = forms.CharField(max_length=64, widget=forms.HiddenInput, initial=lambda: token_hex(16))

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["cct"].widget.attrs["autofocus"] = True

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
            self.add_error("spectrum", "Give the spectrum or the meter’s values, not both. Lux may come with either.")
        elif file:
            self._read_spectrum(said, file)
        elif meter or lux:
            said["light"] = values_of_meter(meter) if meter else values_of_meter({"lux": next(iter(lux.values()))})
            said["power"] = None
        else:
            self.add_error("cct", "Nothing was entered. Type what the meter shows, or choose a spectrum.")
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
            ends = f"{trimmed(low)} to {trimmed(high)}"
            try:
                value = parse_decimal(text.replace("−", "-").strip())
            except ValueError:
                self.add_error(name, f"“{text}” can’t be used. Type a number from {ends}, as the meter shows it.")
                continue
            if low <= value <= high:
                found[name] = value
            else:
                self.add_error(name, f"It is from {ends}, not {text}.")
        return found

    def _read_spectrum(self, said: dict[str, Any], file: "UploadedFile[Any]") -> None:
        if (file.size or 0) > _LARGEST:
            self.add_error("spectrum", "The file is larger than 2 MB, but a spectrum is a short text. Choose another.")
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
