"""What the page of an arrival may send: what was asked first, since when the client sits, and what was found.

All of it comes out of closed lists but the name of a minor's guardian.
"""

from datetime import timedelta
from typing import Any

from django import forms

from tenter.consultation.client.arrival import CHECKS, SETTLES
from tenter.consultation.client.asked_first import CARES, cares_for

_SAT_DOWN = (("", "don’t change the timer"), ("0", "just now"), ("5", "5 minutes ago"), ("10", "10 minutes ago"))

# Minutes until the eyes have settled: the usual wait, and those to choose from, set by judgement.
USUAL = int(SETTLES.total_seconds() // 60)
_WAITS = tuple((str(minutes), f"{minutes} minutes") for minutes in sorted({5, 10, USUAL, 15, 20}))


class ArrivalForm(forms.Form):
    """How a client arrived."""

    sat_down = forms.ChoiceField(choices=_SAT_DOWN, required=False, label="Came in")
    minutes = forms.ChoiceField(choices=_WAITS, required=False, label="Let the skin settle for")

    troubles = forms.MultipleChoiceField(
        choices=[(str(care.trouble), care.label) for care in CARES],
        required=False,
        widget=forms.CheckboxSelectMultiple,
        label="Does any of these trouble you?",
    )
    nothing = forms.BooleanField(required=False, label="Asked: none of these")
    guardian = forms.CharField(
        max_length=120,
        required=False,
        label="The parent or guardian who is present, by name",
        help_text="The sitting waits until one is there.",
    )

    def __init__(self, *args: Any, minor: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in ("troubles", "nothing", "guardian"):  # they have a card of their own, outside the form
            self.fields[name].widget.attrs["form"] = "arrival"
        if not minor:
            del self.fields["guardian"]
        for check in CHECKS:
            self.fields[check.word] = forms.ChoiceField(
                label=check.title,
                required=False,
                choices=[(finding.word, finding.label) for finding in check.findings],
                widget=forms.RadioSelect,
            )

    @property
    def looked_at(self) -> list[forms.BoundField]:
        """Return the fields of the face check."""
        return [self[check.word] for check in CHECKS]

    def clean(self) -> dict[str, Any]:
        """Take one answer of the two: something troubles the client, or nothing does."""
        said: dict[str, Any] = super().clean() or self.cleaned_data
        if said.get("nothing") and said.get("troubles"):
            self.add_error("nothing", "Tick what troubles the client, or tick that none of these does.")
        return said

    def asked(self) -> list[str] | None:
        """Return what troubles the client, as words; None where the client was not asked."""
        troubles = [str(care.trouble) for care in cares_for(self.cleaned_data["troubles"])]
        return troubles if troubles or self.cleaned_data["nothing"] else None

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
