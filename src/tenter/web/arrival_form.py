"""What the page of an arrival may send: since when the client sits, and what was found, all out of closed lists."""

from datetime import timedelta
from typing import Any

from django import forms

from tenter.consultation.arrival import CHECKS, SETTLES

_SAT_DOWN = (("", "leave the timer"), ("0", "just now"), ("5", "5 minutes ago"), ("10", "10 minutes ago"))

USUAL = int(SETTLES.total_seconds() // 60)
_WAITS = tuple((str(minutes), f"{minutes} minutes") for minutes in sorted({5, 10, USUAL, 15, 20}))


class ArrivalForm(forms.Form):
    """How a client arrived."""

    sat_down = forms.ChoiceField(choices=_SAT_DOWN, required=False, label="Came in")
    minutes = forms.ChoiceField(choices=_WAITS, required=False, label="Let the skin settle for")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for check in CHECKS:
            self.fields[check.word] = forms.ChoiceField(
                label=check.title,
                required=False,
                choices=[(finding.word, finding.label) for finding in check.findings],
                widget=forms.RadioSelect,
            )

    @property
    def looked_at(self) -> list[Any]:
        """Return the fields of the face check."""
        return [self[check.word] for check in CHECKS]

    def found(self) -> dict[str, str]:
        """Return what was found, check by check, in the words that are kept."""
        return {c.word: self.cleaned_data[c.word] for c in CHECKS if self.cleaned_data.get(c.word)}

    def wait(self, usual: int) -> int:
        """Return for how many minutes the skin settles, `usual` where nothing was chosen."""
        return int(self.cleaned_data.get("minutes") or usual)

    def ago(self) -> timedelta | None:
        """Return how long the client has been sitting; None leaves the timer as it is."""
        said = self.cleaned_data.get("sat_down")
        return timedelta(minutes=int(said)) if said else None
