"""What the page of an arrival may send: what was asked first, since when the client sits, and what was found.

All of it comes out of closed lists but the name of a minor's guardian.
"""

from datetime import timedelta
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from tenter.consultation.client.arrival import CHECKS, SETTLES
from tenter.consultation.client.asked_first import CARES, cares_for
from tenter.report.on_screen.arrival_words import care_label, check_title, finding_label

_SAT_DOWN = (
    ("", gettext_lazy("don’t change the timer")),
    ("0", gettext_lazy("just now")),
    ("5", gettext_lazy("5 minutes ago")),
    ("10", gettext_lazy("10 minutes ago")),
)

# Minutes until the eyes have settled: the usual wait, and those to choose from, set by judgement.
USUAL = int(SETTLES.total_seconds() // 60)
_WAITS = sorted({5, 10, USUAL, 15, 20})

_SETTLING = "flush"  # the check that nobody answers at the door: it is looked at once the skin has had its time


def _waits() -> list[tuple[str, str]]:
    return [(str(n), ngettext("%(count)s minute", "%(count)s minutes", n) % {"count": n}) for n in _WAITS]


def _troubles() -> list[tuple[str, str]]:
    return [(str(care.trouble), care_label(care)) for care in CARES]


class ArrivalForm(forms.Form):
    """How a client arrived."""

    sat_down = forms.ChoiceField(choices=_SAT_DOWN, required=False, label=gettext_lazy("Came in"))
    minutes = forms.ChoiceField(choices=_waits, required=False, label=gettext_lazy("Let the skin settle for"))

    troubles = forms.MultipleChoiceField(
        choices=_troubles,
        required=False,
        widget=forms.CheckboxSelectMultiple,
        label=gettext_lazy("Does any of these trouble you?"),
    )
    nothing = forms.BooleanField(required=False, label=gettext_lazy("Asked: none of these"))
    usual = forms.BooleanField(required=False, widget=forms.HiddenInput)
    guardian = forms.CharField(
        max_length=120,
        required=False,
        label=gettext_lazy("The parent or guardian who is present, by name"),
        help_text=gettext_lazy("The sitting waits until one is there."),
    )

    def __init__(self, *args: Any, minor: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in ("troubles", "nothing", "guardian"):  # they have a card of their own, outside the form
            self.fields[name].widget.attrs["form"] = "arrival"
        if not minor:
            del self.fields["guardian"]
        for check in CHECKS:
            self.fields[check.word] = forms.ChoiceField(
                label=check_title(check),
                required=False,
                choices=[(finding.word, finding_label(check, finding)) for finding in check.findings],
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
            self.add_error("nothing", _("Tick what troubles the client, or tick that none of these does."))
        return said

    def asked(self) -> list[str] | None:
        """Return what troubles the client, as words; None where the client was not asked."""
        troubles = [str(care.trouble) for care in cares_for(self.cleaned_data["troubles"])]
        return troubles if troubles or self.cleaned_data["nothing"] else None

    def found(self) -> dict[str, str]:
        """Return what was found, check by check, in the words that are kept.

        Where the rest was said to be as usual, each check without an answer has its first finding, but the flush.
        """
        usual = (
            {c.word: c.findings[0].word for c in CHECKS if c.word != _SETTLING} if self.cleaned_data["usual"] else {}
        )
        return usual | {c.word: self.cleaned_data[c.word] for c in CHECKS if self.cleaned_data.get(c.word)}

    @property
    def says_something(self) -> bool:
        """Whether there is anything to keep of a client of whom nothing is kept yet."""
        return bool(self.found() or self.asked() is not None or self.cleaned_data.get("guardian"))

    def wait(self, usual: int) -> int:
        """Return for how many minutes the skin settles, `usual` where nothing was chosen."""
        return int(self.cleaned_data.get("minutes") or usual)

    def ago(self) -> timedelta | None:
        """Return how long the client has been sitting; None leaves the timer as it is."""
        said = self.cleaned_data.get("sat_down")
        return timedelta(minutes=int(said)) if said else None
