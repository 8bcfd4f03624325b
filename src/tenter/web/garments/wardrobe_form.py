"""What the page of a wardrobe may send: one piece, and what may be spent."""

from typing import Any

from django import forms

from tenter.consultation.garments.role import GarmentAnswer
from tenter.consultation.garments.wardrobe import PieceKind
from tenter.web.sent.sent_text import text_of

_MOST_MONEY, _LARGEST_TABLE = 1_000_000, 200_000  # bytes
_ROLES = (
    ("", "as the palette says"),
    (GarmentAnswer.NEAR_FACE.value, "near the face"),
    (GarmentAnswer.AWAY.value, "away from it"),
    (GarmentAnswer.SMALL.value, "in small areas"),
    (GarmentAnswer.LEAVE.value, "well away from the face"),
)


class PieceForm(forms.Form):
    """One piece that is owned or wished for."""

    name = forms.CharField(max_length=80, label="The piece", help_text="As they call it: grey blazer.")
    kind = forms.ChoiceField(choices=[(str(kind), str(kind).capitalize()) for kind in PieceKind], label="What it is")
    colour = forms.CharField(
        max_length=60, label="Its colour", help_text="A name such as navy, or L*, a*, b* as in 52,30,14."
    )
    role = forms.ChoiceField(
        choices=_ROLES,
        required=False,
        label="It is worn",
        help_text="Choose it if you saw it worn: your eye overrules the palette.",
    )
    price = forms.FloatField(
        min_value=0,
        max_value=_MOST_MONEY,
        required=False,
        label="Price",
        help_text="In any currency. A wish without a price is left off the buy list.",
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


class WardrobeTableForm(forms.Form):
    """Many pieces as a table."""

    table = forms.FileField(
        label="A table",
        help_text="Comma-separated UTF-8 with the columns name, kind and colour.",
        widget=forms.FileInput(attrs={"accept": ".csv,text/csv"}),
    )
    wishes = forms.BooleanField(required=False, label="They are wishes, not owned yet")

    def clean_table(self) -> str:
        """Return the table's text; raises `ValidationError` for a file over 200 kB or one that is no text."""
        file = self.cleaned_data["table"]
        if file.size > _LARGEST_TABLE:
            raise forms.ValidationError("The file is larger than 200 kB. A wardrobe is a short table of text.")
        return text_of(file)


class SpendForm(forms.Form):
    """What may be spent."""

    budget = forms.FloatField(
        min_value=0, max_value=_MOST_MONEY, label="What may be spent", help_text="In the currency of the prices."
    )
