"""What the page of a client's wishes may send."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy

from tenter.consultation.wishes.said_wishes import SaidWish, WishKind
from tenter.errors import TenterError
from tenter.report.words import terms
from tenter.report.words.wording import sentence

WISH_KINDS = {
    WishKind.LOVED: gettext_lazy("Loves"),
    WishKind.HATED: gettext_lazy("Does not like"),
    WishKind.NEVER: gettext_lazy("Never wears"),
    WishKind.MUST: gettext_lazy("Has to wear"),
    WishKind.BUDGET: gettext_lazy("Budget, in new pieces"),
    WishKind.NOTE: gettext_lazy("To keep in mind"),
}


class WishForm(forms.Form):
    """One love, hate or limit."""

    kind = forms.ChoiceField(
        choices=[(str(kind), name) for kind, name in WISH_KINDS.items()], label=gettext_lazy("The client")
    )
    about = forms.CharField(
        max_length=40,
        required=False,
        label=gettext_lazy("Which colour, or how many pieces"),
        help_text=gettext_lazy("A hue such as purple, or a name such as coral. For a budget a number, such as 5."),
    )
    why = forms.CharField(
        max_length=200,
        required=False,
        label=gettext_lazy("Why, in their words"),
        help_text=gettext_lazy("Printed on their paper. A limit needs it: faith dress, uniform, mourning."),
    )

    def clean(self) -> dict[str, Any]:
        """Read the three as one wish."""
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        if not self.errors:
            try:
                kind, about = WishKind(cleaned["kind"]), cleaned["about"]
                named = about if kind is WishKind.NOTE else terms.colour_meant(about)
                cleaned["wish"] = SaidWish(kind, named, cleaned["why"])
            except TenterError as error:
                self.add_error(None, f"{sentence(str(error))}.")
        return cleaned
