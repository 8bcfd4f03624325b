"""The form by which a consultant names the result."""

from collections.abc import Sequence
from typing import Any
from uuid import uuid4

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from tenter.report.words import terms
from tenter.web.sent.typed_fields import choice_field

_LONGEST_REASON = 400  # characters: a few lines of the client's first page


class NamingForm(forms.Form):
    """A category, and why; `by_odds` is the category that the odds say, which needs no reason."""

    category = forms.ChoiceField(label=gettext_lazy("Result"))
    reason = forms.CharField(
        label=gettext_lazy("Reason"),
        required=False,
        max_length=_LONGEST_REASON,
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text=gettext_lazy("It is printed on the client’s paper: say what the colours did."),
    )
    key = forms.CharField(max_length=64, widget=forms.HiddenInput, initial=lambda: uuid4().hex)

    def __init__(self, categories: Sequence[str], by_odds: str, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.by_odds = by_odds
        choice_field(self, "category").choices = [(name, terms.season(name)) for name in categories]

    def clean(self) -> dict[str, Any]:
        """Ask for the reason of a result that the odds do not say: it stands in its place on the paper."""
        said = super().clean() or {}
        if said.get("category") not in (None, self.by_odds) and not said.get("reason"):
            self.add_error("reason", _("Say why in a sentence. It replaces the odds on the client’s paper."))
        return said
