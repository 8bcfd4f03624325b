"""What the page of the light's thresholds may send: a number each, in the unit that stands beside it."""

from typing import Any

from django import forms

from tenter.consultation.readings.reading_rows import parse_decimal
from tenter.light.threshold_terms import THRESHOLD_TERMS, ThresholdTerm
from tenter.light.thresholds import PRACTICE, LightThresholds, threshold_range


def _told(term: ThresholdTerm) -> str:
    """Return a threshold's default and where it comes from, which is said once for all drifts."""
    default = f"Default {term.said(getattr(PRACTICE, term.name))}."
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
                    "required": f"This is empty. The default is {term.said(getattr(PRACTICE, term.name))}."
                },
            )

    def clean(self) -> dict[str, Any]:
        """Make the thresholds; each number that cannot be is named with what would do."""
        said: dict[str, Any] = super().clean() or self.cleaned_data
        typed = {term.name: self._value(term, said[term.name]) for term in THRESHOLD_TERMS if term.name in said}
        values = {name: value for name, value in typed.items() if value is not None}
        for of, what in (("lux", "brightness"), ("cct", "colour temperature")):
            low, high = values.get(f"least_{of}"), values.get(f"most_{of}")
            if low is not None and high is not None and low >= high:
                least, most = (said[f"{which}_{of}"] for which in ("least", "most"))
                told = f"The least {what} is {least} and the most is {most}. The least has to be lower."
                self.add_error(f"least_{of}", told)
        if not self.errors:
            said["thresholds"] = LightThresholds(**values)
        return said

    def _value(self, term: ThresholdTerm, text: str) -> float | None:
        """Return a threshold in its own unit, or note a fault at its field and return None."""
        low, high = threshold_range(term.name)
        ends = f"{term.shown(low)} to {term.said(high)}"
        try:
            value = parse_decimal(text.replace("−", "-").strip()) / term.scale
        except ValueError:
            self.add_error(term.name, f"“{text}” can’t be used. Type a number from {ends}.")
            return None
        if low <= value <= high:
            return value
        self.add_error(term.name, f"It is from {ends}, not {text}.")
        return None

    @property
    def thresholds(self) -> LightThresholds:
        """The thresholds, of a form that is valid."""
        found: LightThresholds = self.cleaned_data["thresholds"]
        return found
