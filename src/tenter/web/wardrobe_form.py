"""What the page of a wardrobe may send: one piece, and what may be spent."""

from typing import Any

from django import forms

from tenter.consultation.garments.role import Answer
from tenter.consultation.garments.wardrobe import Kind

_MOST_MONEY = 1_000_000
_ROLES = (
    ("", "as the palette says"),
    (Answer.NEAR_FACE.value, "near the face"),
    (Answer.AWAY.value, "away from it"),
    (Answer.SMALL.value, "in small areas"),
    (Answer.LEAVE.value, "well away from the face"),
)


class PieceForm(forms.Form):
    """One piece that is owned or wished for."""

    name = forms.CharField(max_length=80, label="The piece", help_text="As they call it: grey blazer.")
    kind = forms.ChoiceField(choices=[(str(kind), str(kind).capitalize()) for kind in Kind], label="What it is")
    colour = forms.CharField(
        max_length=60, label="Its colour", help_text="A name such as navy, or L*, a*, b* as in 52,30,14."
    )
    role = forms.ChoiceField(
        choices=_ROLES, required=False, label="It is worn", help_text="Say it where you saw it worn; you overrule."
    )
    price = forms.FloatField(
        min_value=0,
        max_value=_MOST_MONEY,
        required=False,
        label="Price",
        help_text="In any money. A wish needs one to be on the buy list.",
    )
    loved = forms.BooleanField(required=False, label="They love it")
    wished = forms.BooleanField(required=False, label="It is a wish, not owned yet")

    def clean_name(self) -> str:
        """Return the name with single spaces."""
        return " ".join(self.cleaned_data["name"].split())

    @property
    def said(self) -> dict[str, Any]:
        """Return the fields of a row."""
        return dict(self.cleaned_data)


class SpendForm(forms.Form):
    """What may be spent."""

    budget = forms.FloatField(
        min_value=0, max_value=_MOST_MONEY, label="What may be spent", help_text="In the money of the prices."
    )
