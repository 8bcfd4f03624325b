"""What the page of a client's wishes may send."""

from typing import Any

from django import forms

from tenter.consultation.wishes.said_wishes import SaidWish, WishKind
from tenter.errors import TenterError
from tenter.report.words.wording import sentence

WISH_KINDS = {
    WishKind.LOVED: "Loves",
    WishKind.HATED: "Does not like",
    WishKind.NEVER: "Never wears",
    WishKind.MUST: "Has to wear",
    WishKind.BUDGET: "Budget, in new pieces",
    WishKind.NOTE: "To keep in mind",
}


class WishForm(forms.Form):
    """One love, hate or limit."""

    kind = forms.ChoiceField(choices=[(str(kind), name) for kind, name in WISH_KINDS.items()], label="The client")
    about = forms.CharField(
        max_length=40,
        required=False,
        label="Which colour, or how many pieces",
        help_text="A hue such as purple, or a name such as coral. For a budget a number, such as 5.",
    )
    why = forms.CharField(
        max_length=200,
        required=False,
        label="Why, in their words",
        help_text="Printed on their paper. A limit needs it: faith dress, uniform, mourning.",
    )

    def clean(self) -> dict[str, Any]:
        """Read the three as one wish."""
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        if not self.errors:
            try:
                cleaned["wish"] = SaidWish(WishKind(cleaned["kind"]), cleaned["about"], cleaned["why"])
            except TenterError as error:
                self.add_error(None, f"{sentence(str(error))}.")
        return cleaned
