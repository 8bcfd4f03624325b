"""What the page of a garment may ask: a colour's name or an instrument's reading, and under which light it was read."""

from django import forms

from tenter.colorimetry.illuminants import observer_from
from tenter.colorimetry.measurement import Conditions
from tenter.consultation.garments.garment import Garment
from tenter.consultation.garments.given import is_reading, named_garment, parse_reading
from tenter.consultation.personal.colours import PersonalPalette

_LIGHTS = (
    ("D65 10", "daylight D65, 10° observer"),
    ("D65 2", "daylight D65, 2° observer"),
    ("D50 2", "daylight D50, 2° observer"),
    ("D50 10", "daylight D50, 10° observer"),
)


class GarmentForm(forms.Form):
    """The colour of a garment in words or numbers."""

    colour = forms.CharField(
        max_length=60,
        label="Its colour",
        help_text="A plain name such as mustard or navy, or L*, a*, b* of a colour reader, as in 52,30,14.",
    )
    light = forms.ChoiceField(
        choices=_LIGHTS,
        required=False,
        label="If read",
        help_text="How the colour reader is set. It counts for a reading alone.",
    )

    def garment(self, palette: PersonalPalette) -> Garment:
        """Return the garment; raises `TenterError` where nobody knows the colour."""
        text = self.cleaned_data["colour"]
        if not is_reading(text):
            return named_garment(text, palette)
        illuminant, observer = (self.cleaned_data["light"] or _LIGHTS[0][0]).split()
        return parse_reading(text, Conditions(illuminant, observer_from(observer)))
