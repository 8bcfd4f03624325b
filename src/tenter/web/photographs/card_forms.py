"""Which card is in a photograph, as a page asks it, and whose values it has."""

from typing import Any

from django import forms
from django.contrib.auth.models import User
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from tenter.language import in_a_row
from tenter.photo.cards import ChartKind
from tenter.photo.own_card.gate import uncalibrated
from tenter.photo.own_card.kept import kept_serials
from tenter.photo.own_card.layout import MAX_SERIAL
from tenter.photo.patches.reference import CardValues
from tenter.web.models import Photograph, Picture

CARD_CHOICES = {
    ChartKind.CLASSIC24.value: gettext_lazy("24-patch card"),
    ChartKind.OWN.value: gettext_lazy("Our own printed card"),
    ChartKind.GREY.value: gettext_lazy("Grey card"),
    ChartKind.PAPER.value: gettext_lazy("White paper"),
    ChartKind.NONE.value: gettext_lazy("No card"),
}
_WITHIN = {  # a sentence
    ChartKind.CLASSIC24.value: gettext_lazy("24-patch card"),
    ChartKind.OWN.value: gettext_lazy("our own printed card"),
    ChartKind.GREY.value: gettext_lazy("grey card"),
    ChartKind.PAPER.value: gettext_lazy("white paper"),
    ChartKind.NONE.value: gettext_lazy("no card"),
}
VALUES = {
    CardValues.MEAN_OF_30.value: gettext_lazy("mean of 30 cards"),
    CardValues.OF_1976.value: gettext_lazy("published 1976"),
    CardValues.OF_2005.value: gettext_lazy("published 2005"),
    CardValues.BEFORE_2014_11.value: gettext_lazy("made before November 2014"),
    CardValues.FROM_2014_11.value: gettext_lazy("made from November 2014"),
}

_ANOTHER_CARD = gettext_lazy("Another card is chosen above. Choose our own printed card, or leave this empty.")
_MOST_NUMBERS = 12  # that a help text lists


def own_card_help() -> str:
    """Return what is said of the number of our own card: what it needs first, and which were measured."""
    serials = kept_serials()
    measured = (
        _measured_here([_numbered(str(serial)) for serial in serials])
        if serials
        else _(
            "None has been measured here yet. A card is measured in this computer’s terminal: tenter card calibrate."
        )
    )
    once = _("Measure each print once beside a 24-patch card; a borrowed one will do.")
    read = _("The number is read from the picture. If you enter it here too, any other card is refused.")
    return f"{once} {measured} {read}"


def _measured_here(cards: list[str]) -> str:
    more = len(cards) - _MOST_NUMBERS
    named = {"cards": in_a_row(cards[:_MOST_NUMBERS]), "count": more}
    if more <= 0:
        return _("Measured here: %(cards)s.") % named
    said = ngettext(
        "Measured here: %(cards)s and %(count)s more.", "Measured here: %(cards)s and %(count)s more.", more
    )
    return said % named


def _numbered(serial: str) -> str:
    return _("No. %(number)s") % {"number": serial}


def card_within(chart: str) -> str:
    """Return what is beside the face, as it is said within a sentence; empty for no kind of card."""
    return str(_WITHIN.get(chart, ""))


def figures_of(row: Picture) -> str:
    """Return whose values a photograph's card was said to have; empty where nothing was said."""
    if row.chart == ChartKind.OWN and row.card.isdigit():
        return _numbered(row.card)
    return str(VALUES.get(row.card, "")) if row.chart == ChartKind.CLASSIC24 else ""


def latest_photograph(owner: User) -> Photograph | None:
    """Return the latest photograph of a studio's clients, whoever took it in; None where there is none."""
    return Photograph.objects.filter(client__owner=owner).order_by("-taken_at", "-pk").first()


def last_card(owner: User) -> dict[str, str | int]:
    """Return which card stood in a studio's latest photograph, as `CardForm` begins with it."""
    latest = latest_photograph(owner)
    chart = latest.chart if latest and latest.chart in CARD_CHOICES else ChartKind.CLASSIC24.value
    found: dict[str, str | int] = {"chart": chart, "values": next(iter(VALUES))}
    if latest and latest.card in VALUES:
        found["values"] = latest.card
    if latest and chart == ChartKind.OWN and latest.card.isdigit():
        found["own_number"] = int(latest.card)
    return found


class CardForm(forms.Form):
    """The card beside the face, its figures, and the number of one of our own."""

    chart = forms.ChoiceField(
        choices=list(CARD_CHOICES.items()),
        label=gettext_lazy("Beside the face"),
        help_text=gettext_lazy(
            "Hold the card flat beside the jaw, parallel to the face, in the same light, without shade or glare."
        ),
    )
    values = forms.ChoiceField(
        choices=list(VALUES.items()),
        required=False,
        label=gettext_lazy("The 24-patch card’s figures"),
        help_text=gettext_lazy("Choose by the year printed on it, or the mean if you do not know."),
    )
    own_number = forms.IntegerField(
        required=False,
        min_value=1,
        max_value=MAX_SERIAL,
        label=gettext_lazy("The number of our own printed card"),
        widget=forms.NumberInput(attrs={"inputmode": "numeric"}),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["own_number"].help_text = own_card_help()

    def clean(self) -> dict[str, Any]:
        """Hold the number against the card that is chosen."""
        said: dict[str, Any] = super().clean() or self.cleaned_data
        if said.get("own_number") is not None and said.get("chart") != ChartKind.OWN:
            self.add_error("own_number", _ANOTHER_CARD)
        return said

    def card(self) -> str:
        """Return whose values the card has, as a row keeps it; a note is added for a number without values."""
        chart, number = self.cleaned_data["chart"], self.cleaned_data.get("own_number")
        if chart == ChartKind.CLASSIC24:
            return str(self.cleaned_data["values"])
        if chart != ChartKind.OWN or number is None:
            return ""
        if number not in kept_serials():
            self.cleaned_data["notes"] = (*self.cleaned_data.get("notes", ()), uncalibrated(number))
        return str(number)
