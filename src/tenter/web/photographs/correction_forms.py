"""What a consultant says of a photograph that was measured: regions left out, the card's place, an even light."""

import json
from collections.abc import Mapping
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from tenter.photo.regions.regions import Region
from tenter.report.pictures.face_colours import region_name
from tenter.web.pictures.measuring import Corrections

# Outlines, corners of each, and characters of all as JSON: above what a hand draws, so that no more is read. Set by
# judgement.
_MOST_OUTLINES, _MOST_CORNERS, _LONGEST_OUTLINES = 20, 60, 20_000
_FEWEST_CORNERS = 3
BOX = {
    "left": gettext_lazy("From the left"),
    "top": gettext_lazy("From the top"),
    "width": gettext_lazy("Width"),
    "height": gettext_lazy("Height"),
}
_FARTHEST, _SMALLEST_BOX = 100_000, 8  # pixels


def called_even(sent: Mapping[str, Any]) -> bool:
    """Return whether a page that was sent calls its card evenly lit: by the button pressed, or else as it was before.

    The button and what was said before have names of their own: a field of a form would come last and win.
    """
    return {"even": True, "uneven": False}.get(sent.get("light", ""), "evenly_lit" in sent)


def drawing_words() -> dict[str, list[str]]:
    """Return how many outlines are drawn, and corners of another, by that number: a page's script has no words."""
    outlines = (ngettext("%(count)s outline drawn", "%(count)s outlines drawn", n) for n in range(_MOST_OUTLINES + 1))
    corners = (
        ngettext("%(count)s corner of another", "%(count)s corners of another", n) for n in range(_MOST_CORNERS + 1)
    )
    return {
        "outlines": [said % {"count": n} for n, said in enumerate(outlines)],
        "corners": [said % {"count": n} for n, said in enumerate(corners)],
    }


class CorrectionsForm(forms.Form):
    """What the consultant says of a photograph's regions."""

    drop = forms.MultipleChoiceField(
        choices=[(region.value, region_name(region.value)) for region in Region],
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )
    hair = forms.ChoiceField(
        choices=(
            ("", gettext_lazy("not said")),
            ("yes", gettext_lazy("it is hair")),
            ("no", gettext_lazy("it is not hair")),
        ),
        required=False,
        label=gettext_lazy("Hair"),
    )
    excluded = forms.CharField(required=False, max_length=_LONGEST_OUTLINES, widget=forms.HiddenInput)
    left = forms.IntegerField(required=False, min_value=0, max_value=_FARTHEST)
    top = forms.IntegerField(required=False, min_value=0, max_value=_FARTHEST)
    width = forms.IntegerField(required=False, min_value=_SMALLEST_BOX, max_value=_FARTHEST)
    height = forms.IntegerField(required=False, min_value=_SMALLEST_BOX, max_value=_FARTHEST)

    def clean_excluded(self) -> tuple[tuple[tuple[float, float], ...], ...]:
        """Return the outlines that were drawn, in pixels, each of three corners or more.

        Raises `ValidationError` for what cannot be read, too many outlines or corners, and one outside the picture.
        """
        try:
            drawn = json.loads(self.cleaned_data["excluded"] or "[]")
            outlines = tuple(tuple((float(x), float(y)) for x, y in outline) for outline in drawn)
        except (ValueError, TypeError, RecursionError):
            raise forms.ValidationError(_("The outlines cannot be read. Draw them again.")) from None
        corners = [len(outline) for outline in outlines]
        if len(outlines) > _MOST_OUTLINES or any(not _FEWEST_CORNERS <= n <= _MOST_CORNERS for n in corners):
            said = _("Draw at most %(most)s outlines of %(fewest)s to %(corners)s corners.")
            limits = {"most": _MOST_OUTLINES, "fewest": _FEWEST_CORNERS, "corners": _MOST_CORNERS}
            raise forms.ValidationError(said % limits)
        if not all(abs(number) <= 1e5 for outline in outlines for corner in outline for number in corner):
            raise forms.ValidationError(_("An outline goes outside the picture. Draw it again."))
        return outlines

    def clean(self) -> dict[str, Any]:
        """Return what was said of the photograph.

        Raises `ValidationError` where some of the four numbers of the card's place came and some did not.
        """
        said: dict[str, Any] = super().clean() or self.cleaned_data
        if 0 < sum(said.get(name) is not None for name in BOX) < len(BOX) and not self.errors:
            raise forms.ValidationError(
                _("Fill in all four numbers to say where the card is, or leave all of them empty.")
            )
        return said

    def corrections(self) -> Corrections:
        """Return what was said."""
        said = self.cleaned_data
        hair = {"yes": True, "no": False}.get(said["hair"])
        left, top, width, height = (said[name] for name in BOX)
        at = None if left is None else (float(left), float(top), float(width), float(height))
        return Corrections(tuple(said["drop"]), said["excluded"], hair, at, called_even(self.data))

    def faults(self) -> str:
        """Return what is wrong, in words."""
        return " ".join(
            f"{BOX[name]}: {error}" if name in BOX else str(error)
            for name, errors in self.errors.items()
            for error in errors
        )
