"""What the page of the light's thresholds may send: a number each, in the unit that stands beside it."""

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from tenter.consultation.readings.reading_rows import parse_decimal
from tenter.light.threshold_terms import THRESHOLD_TERMS, ThresholdTerm
from tenter.light.thresholds import PRACTICE, LightThresholds, threshold_range

_TOO_BRIGHT = gettext_noop("The least brightness is %(least)s and the most is %(most)s. The least has to be lower.")
_TOO_WARM = gettext_noop(
    "The least colour temperature is %(least)s and the most is %(most)s. The least has to be lower."
)


def _told(term: ThresholdTerm) -> str:
    """Return a threshold's default and where it comes from, which is said once for all drifts."""
    default = _("Default %(value)s.") % {"value": term.said(getattr(PRACTICE, term.name))}
    return default if term.is_drift else f"{default} {term.basis}"


class ThresholdForm(forms.Form):
    """What a studio asks of its light."""

    def __init__(self, now: LightThresholds, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for term in THRESHOLD_TERMS:
            shown = forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"})
            self.fields[term.name] = forms.CharField(
                max_length=20,
                label=f"{term.title}{f', {term.unit}' if term.unit else ''}",
                initial=term.shown(getattr(now, term.name)),
                help_text=_told(term),
                widget=shown,
                error_messages={
                    "required": _("This is empty. The default is %(value)s.")
                    % {"value": term.said(getattr(PRACTICE, term.name))}
                },
            )

    def clean(self) -> dict[str, Any]:
        """Make the thresholds; each number that cannot be is named with what would do."""
        said: dict[str, Any] = super().clean() or self.cleaned_data
        typed = {term.name: self._value(term, said[term.name]) for term in THRESHOLD_TERMS if term.name in said}
        values = {name: value for name, value in typed.items() if value is not None}
        for of, told in (("lux", _TOO_BRIGHT), ("cct", _TOO_WARM)):
            low, high = values.get(f"least_{of}"), values.get(f"most_{of}")
            if low is not None and high is not None and low >= high:
                typed_ends = {which: said[f"{which}_{of}"] for which in ("least", "most")}
                self.add_error(f"least_{of}", _(told) % typed_ends)
        if not self.errors:
            said["thresholds"] = LightThresholds(**values)
        return said

    def _value(self, term: ThresholdTerm, text: str) -> float | None:
        """Return a threshold in its own unit, or note a fault at its field and return None."""
        low, high = threshold_range(term.name)
        ends = {"low": term.shown(low), "high": term.said(high), "typed": text}
        try:
            value = parse_decimal(text.replace("−", "-").strip()) / term.scale
        except ValueError:
            self.add_error(term.name, _("“%(typed)s” can’t be used. Type a number from %(low)s to %(high)s.") % ends)
            return None
        if low <= value <= high:
            return value
        self.add_error(term.name, _("It is from %(low)s to %(high)s, not %(typed)s.") % ends)
        return None

    @property
    def thresholds(self) -> LightThresholds:
        """The thresholds, of a form that is valid."""
        found: LightThresholds = self.cleaned_data["thresholds"]
        return found
