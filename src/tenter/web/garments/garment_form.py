"""What the page of a garment may ask: by a colour's name, by an instrument's reading, or by a photograph."""

from datetime import date, timedelta
from typing import Any

from django import forms
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from tenter.colorimetry.illuminants import observer_from
from tenter.colorimetry.measurement import Conditions
from tenter.consultation.colours.colours import PersonalPalette
from tenter.consultation.garments.garment import Garment
from tenter.consultation.garments.given import is_reading, named_garment, parse_reading
from tenter.photo.cards import ChartKind
from tenter.report.words import terms
from tenter.web.cloths.forms import outline_from
from tenter.web.models import ThingPhotograph
from tenter.web.photographs.card_forms import CARD_CHOICES
from tenter.web.photographs.correction_forms import called_even
from tenter.web.photographs.forms import UploadForm
from tenter.web.pictures.cloth_measuring import Where
from tenter.web.sent.typed_fields import choice_field

_LIGHTS = (
    ("D65 10", gettext_lazy("daylight D65, 10° observer")),
    ("D65 2", gettext_lazy("daylight D65, 2° observer")),
    ("D50 2", gettext_lazy("daylight D50, 2° observer")),
    ("D50 10", gettext_lazy("daylight D50, 10° observer")),
)


class GarmentForm(forms.Form):
    """The colour of a garment in words or numbers."""

    colour = forms.CharField(
        max_length=60,
        label=gettext_lazy("Its colour"),
        help_text=gettext_lazy(
            "A plain name such as mustard or navy, or L*, a*, b* of a colour reader, as in 52,30,14."
        ),
        widget=forms.TextInput(attrs={"autofocus": True}),
    )
    light = forms.ChoiceField(
        choices=_LIGHTS,
        required=False,
        label=gettext_lazy("If read"),
        help_text=gettext_lazy("How the colour reader is set; used only for a reading."),
    )

    def garment(self, palette: PersonalPalette) -> Garment:
        """Return the garment; raises `TenterError` where nobody knows the colour."""
        text = self.cleaned_data["colour"]
        if not is_reading(text):
            return named_garment(terms.colour_meant(text, (one.name for one in palette.colours)), palette)
        illuminant, observer = (self.cleaned_data["light"] or _LIGHTS[0][0]).split()
        return parse_reading(text, Conditions(illuminant, observer_from(observer)))


_SHOWN = (
    (str(ThingPhotograph.Shows.CLOTH), gettext_lazy("one colour")),
    (str(ThingPhotograph.Shows.PRINT), gettext_lazy("a print")),
)

_ASKED_FIRST = ("shows", "picture", "camera")


class GarmentPhotographForm(UploadForm):
    """A photograph of a garment beside a card; kept only where the client agrees to it, and that is asked for."""

    shows = forms.ChoiceField(choices=_SHOWN, label=gettext_lazy("The garment has"))
    keep = forms.BooleanField(
        required=False,
        label=gettext_lazy("Keep the photograph"),
        help_text=gettext_lazy(
            "Without this tick it is deleted as soon as the answer is ready, and the answer is deleted tomorrow."
        ),
    )
    field_order = ("shows", "picture", "camera", "chart", "values", "own_number", "keep", "deletes_on")

    def __init__(self, *args: Any, may_keep: bool, **kwargs: Any) -> None:
        super().__init__(*args, auto_id="photo-%s", **kwargs)
        if not may_keep:
            del self.fields["keep"], self.fields["deletes_on"]
        self.fields["chart"].label = _("Beside the garment")
        choice_field(self, "chart").choices = [
            (key, name) for key, name in CARD_CHOICES.items() if key != ChartKind.NONE
        ]
        self.fields["chart"].help_text = _(
            "Lay the card on the garment or beside it, in the same light. A grey card or paper shows only the light, "
            "so few answers are sure."
        )
        if may_keep:
            self.fields["deletes_on"].required = False
            self.fields["deletes_on"].help_text = _("Used only if the photograph is kept.")

    @property
    def asked_first(self) -> list[forms.BoundField]:
        """Return what every photograph is asked about."""
        return [self[name] for name in _ASKED_FIRST]

    @property
    def folded(self) -> list[forms.BoundField]:
        """Return the rest: the card, and whether the photograph is kept."""
        return [field for field in self.visible_fields() if field.name not in _ASKED_FIRST]

    def clean(self) -> dict[str, Any]:
        """Give what is not kept until tomorrow."""
        said = super().clean()
        if not said.get("keep") or not said.get("deletes_on"):
            said["deletes_on"] = _tomorrow()
        return said

    def fields_of(self) -> dict[str, Any]:
        """Return what a row keeps of the form."""
        said = self.cleaned_data
        return {name: said[name] for name in ("shows", "chart", "card", "deletes_on")} | {
            "kept": bool(said.get("keep"))
        }


def _tomorrow() -> date:
    return timezone.localdate() + timedelta(days=1)


class GarmentAgainForm(forms.Form):
    """Another look at a photograph: a print or not, and where the garment is."""

    shows = forms.ChoiceField(choices=_SHOWN, label=gettext_lazy("The garment has"))
    outline = forms.CharField(required=False, widget=forms.HiddenInput)

    def clean_outline(self) -> tuple[tuple[float, float], ...]:
        """Return the corners that were tapped, in pixels of the picture as it is drawn.

        Raises `ValidationError` for one or two of them.
        """
        corners = outline_from(self.cleaned_data["outline"])
        if len(corners) in (1, 2):
            raise forms.ValidationError(_("An outline needs three or more corners. Mark them again."))
        return corners

    @property
    def where(self) -> Where:
        """Return where the garment is said to be, and what of the light on the card."""
        return Where(self.cleaned_data["outline"], called_even(self.data))
