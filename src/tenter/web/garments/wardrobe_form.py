"""What the page of a wardrobe may send: one piece, and what may be spent."""

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from tenter.consultation.garments.role import GarmentAnswer
from tenter.consultation.garments.wardrobe import PieceKind
from tenter.report.words import terms
from tenter.report.words.wording import sentence
from tenter.web.sent.sent_text import text_of

_MOST_MONEY, _LARGEST_TABLE = 1_000_000, 200_000  # bytes
_ROLES = (
    ("", gettext_lazy("as the palette says")),
    (GarmentAnswer.NEAR_FACE.value, gettext_lazy("near the face")),
    (GarmentAnswer.AWAY.value, gettext_lazy("away from it")),
    (GarmentAnswer.SMALL.value, gettext_lazy("in small areas")),
    (GarmentAnswer.LEAVE.value, gettext_lazy("well away from the face")),
)


class PieceForm(forms.Form):
    """One piece that is owned or wished for."""

    name = forms.CharField(
        max_length=80, label=gettext_lazy("The piece"), help_text=gettext_lazy("As they call it: grey blazer.")
    )
    kind = forms.ChoiceField(
        choices=lambda: [(str(kind), sentence(terms.piece_kind(kind))) for kind in PieceKind],
        label=gettext_lazy("What it is"),
    )
    colour = forms.CharField(
        max_length=60,
        label=gettext_lazy("Its colour"),
        help_text=gettext_lazy("A name such as navy, or L*, a*, b* as in 52,30,14."),
    )
    role = forms.ChoiceField(
        choices=_ROLES,
        required=False,
        label=gettext_lazy("It is worn"),
        help_text=gettext_lazy("Choose it if you saw it worn: your eye overrules the palette."),
    )
    price = forms.FloatField(
        min_value=0,
        max_value=_MOST_MONEY,
        required=False,
        label=gettext_lazy("Price"),
        help_text=gettext_lazy("In any currency. A wish without a price is left off the buy list."),
    )
    loved = forms.BooleanField(required=False, label=gettext_lazy("They love it"))
    wished = forms.BooleanField(required=False, label=gettext_lazy("It is a wish, not owned yet"))

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
        label=gettext_lazy("A table"),
        help_text=gettext_lazy("A table saved as CSV UTF-8, with the columns name, kind and colour."),
        widget=forms.FileInput(attrs={"accept": ".csv,text/csv"}),
    )
    wishes = forms.BooleanField(required=False, label=gettext_lazy("They are wishes, not owned yet"))

    def clean_table(self) -> str:
        """Return the table's text; raises `ValidationError` for a file over 200 kB or one that is no text."""
        file = self.cleaned_data["table"]
        if file.size > _LARGEST_TABLE:
            raise forms.ValidationError(_("The file is larger than 200 kB. A wardrobe is a short table of text."))
        return text_of(file)


class SpendForm(forms.Form):
    """What may be spent."""

    budget = forms.FloatField(
        min_value=0,
        max_value=_MOST_MONEY,
        label=gettext_lazy("What may be spent"),
        help_text=gettext_lazy("In the currency of the prices."),
    )
