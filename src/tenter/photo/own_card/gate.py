"""What is wrong with our own card in a photograph, in plain words, and whether its values are its own."""

from datetime import date

from tenter.language import N_, _, in_a_row, ngettext
from tenter.photo.advice import HOLD_THE_CARD_BESIDE
from tenter.photo.own_card.layout import CARD_MARKERS_MM
from tenter.photo.own_card.marks import MIN_MARKERS
from tenter.photo.own_card.sighting import OwnCardSighting
from tenter.photo.own_card.values import OwnCardValues
from tenter.photo.reasons import Code, Reason

_HOLD_IT = N_(
    "Hold the card flat beside the jaw, parallel to the face (for a cloth, flat on it), with its four black corner "
    "marks in the picture and in focus"
)


def own_card_reasons(sighting: OwnCardSighting, serial: int | None = None) -> list[Reason]:
    """Return what keeps our own card from being read; `serial` is the one it is said to have, if any."""
    if sighting.reading is None:
        return [_unread(sighting)]
    if sighting.cut:
        return [
            Reason(
                Code.CHART_CUT,
                _(
                    "The card leaves the picture: one of its corner marks is cut off. Step back until the whole card "
                    "is in the picture."
                ),
            )
        ]
    if serial is not None and sighting.serial not in {None, serial}:
        return [
            Reason(
                Code.CARD_OTHER,
                _(
                    "The card in the picture is No. {seen}, and No. {named} was named. Every print has values of its "
                    "own: name the right one.",
                    seen=sighting.serial,
                    named=serial,
                ),
            )
        ]
    return []


def _unread(sighting: OwnCardSighting) -> Reason:
    """Return why no card was read."""
    if not sighting.markers:
        return Reason(
            Code.CHART_NOT_FOUND,
            _(
                "No card of ours was found. {hold_it}. Each mark should be at least 25 pixels wide.",
                hold_it=_(_HOLD_IT),
            ),
        )
    if sighting.markers < MIN_MARKERS:
        return Reason(
            Code.CHART_CUT,
            _(
                "Only {seen} of the card's {marks} corner marks can be seen, and {needed} are needed: it is cut off, "
                "covered, in shade or out of focus. Step back until the whole card is in the picture, and hold it by "
                "its edge. {hold_it}.",
                seen=sighting.markers,
                marks=len(CARD_MARKERS_MM),
                needed=MIN_MARKERS,
                hold_it=_(HOLD_THE_CARD_BESIDE),
            ),
        )
    if sighting.several:
        return Reason(Code.CARD_SEVERAL, _several(sighting))
    if not sighting.flat:
        return Reason(
            Code.CARD_BENT,
            _(
                "The card's corner marks are not where a flat card has them. Glue it on something stiff and hold it "
                "flat."
            ),
        )
    return Reason(
        Code.CHART_NOT_FOUND,
        _(
            "Black marks like those of our card were seen, but not in their places. They are on something else, or "
            "the card is folded. {hold_it}.",
            hold_it=_(_HOLD_IT),
        ),
    )


def _several(sighting: OwnCardSighting) -> str:
    """Return what is said of several cards in one picture, with the numbers that can be read."""
    named = [_("No. {serial}", serial=serial) for serial in sighting.serials]
    unread = sighting.several - len(named)
    if unread:
        named.append(ngettext("{count} whose number cannot be read", "{count} whose number cannot be read", unread))
    return _(
        "{count} of our cards are in the picture: {cards}. It is not clear which one to use, and every print has its "
        "own values. Leave one in the picture, or give the number of the one to use.",
        count=sighting.several,
        cards=in_a_row(named),
    )


def uncalibrated(serial: int | None) -> str:
    """Return what is said of a card without values, and the next step."""
    never = (
        _("This card was never measured here, and printers differ too much to trust its design.")
        if serial is None
        else _(
            "Card No. {serial} was never measured here, and printers differ too much to trust its design.",
            serial=serial,
        )
    )
    what_next = _(
        "Only differences within the picture are given. Photograph it once beside a 24-patch chart, a borrowed one "
        "will do, and run: tenter card calibrate PHOTO."
    )
    return f"{never} {what_next}"


def value_notes(values: OwnCardValues | None, serial: int | None, today: date) -> list[Reason]:
    """Return what is to be said of a card's values: that there are none, or that they are old."""
    if values is None:
        return [Reason(Code.CARD_UNCALIBRATED, uncalibrated(serial))]
    if values.is_old(today):
        return [
            Reason(
                Code.CARD_OLD,
                _(
                    "Card No. {serial} was measured {months} months ago, and inks fade. Measure it again. Until then "
                    "read its colours with some doubt.",
                    serial=values.serial,
                    months=values.months_old(today),
                ),
            )
        ]
    return []
