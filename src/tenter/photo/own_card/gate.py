"""What is wrong with our own card in a photograph, in plain words, and whether its values are its own."""

from datetime import date

from tenter.photo.advice import HOLD_THE_CARD_BESIDE
from tenter.photo.own_card.layout import CARD_MARKERS_MM
from tenter.photo.own_card.marks import MIN_MARKERS
from tenter.photo.own_card.sighting import OwnCardSighting
from tenter.photo.own_card.values import OwnCardValues
from tenter.photo.reasons import Code, Reason

_HOLD_IT = f"{HOLD_THE_CARD_BESIDE}, with its four black corner marks in the picture and in focus"


def own_card_reasons(sighting: OwnCardSighting, serial: int | None = None) -> list[Reason]:
    """Return what keeps our own card from being read; `serial` is the one it is said to have, if any."""
    if sighting.reading is None:
        return [_unread(sighting)]
    if sighting.cut:
        return [
            Reason(
                Code.CHART_CUT,
                "The card leaves the picture: one of its corner marks is cut off. Step back until the whole card "
                "is in the picture.",
            )
        ]
    if serial is not None and sighting.serial not in {None, serial}:
        return [
            Reason(
                Code.CARD_OTHER,
                f"The card in the picture is No. {sighting.serial}, and No. {serial} was named. Every print has "
                "values of its own: name the right one.",
            )
        ]
    return []


def _unread(sighting: OwnCardSighting) -> Reason:
    """Return why no card was read."""
    if not sighting.markers:
        return Reason(
            Code.CHART_NOT_FOUND,
            f"No card of ours was found. {_HOLD_IT}. Each mark should be at least 25 pixels wide.",
        )
    if sighting.markers < MIN_MARKERS:
        return Reason(
            Code.CHART_CUT,
            f"Only {sighting.markers} of the card's {len(CARD_MARKERS_MM)} corner marks can be seen, and {MIN_MARKERS} "
            "are needed: it is cut off, covered, in shade or out of focus. Step back until the whole card is in "
            f"the picture, and hold it by its edge. {HOLD_THE_CARD_BESIDE}.",
        )
    if sighting.several:
        return Reason(Code.CARD_SEVERAL, _several(sighting))
    if not sighting.flat:
        return Reason(
            Code.CARD_BENT,
            "The card's corner marks are not where a flat card has them. Glue it on something stiff and hold it flat.",
        )
    return Reason(
        Code.CHART_NOT_FOUND,
        "Black marks like those of our card were seen, but not in their places. They are on something else, or the "
        f"card is folded. {_HOLD_IT}.",
    )


def _several(sighting: OwnCardSighting) -> str:
    """Return what is said of several cards in one picture, with the numbers that can be read."""
    numbers = [f"No. {serial}" for serial in sighting.serials]
    unread = sighting.several - len(numbers)
    named = numbers + ([f"{unread} whose number cannot be read"] if unread else [])
    return (
        f"{sighting.several} of our cards are in the picture: {', '.join(named)}. It is not clear which one to use, "
        "and every print has its own values. Leave one in the picture, or give the number of the one to use."
    )


def uncalibrated(serial: int | None) -> str:
    """Return what is said of a card without values, and the next step."""
    named = "This card" if serial is None else f"Card No. {serial}"
    return (
        f"{named} was never measured here, and printers differ too much to trust its design. Only differences "
        "within the picture are given. Photograph it once beside a 24-patch chart, a borrowed one will do, "
        "and run: tenter card calibrate PHOTO."
    )


def value_notes(values: OwnCardValues | None, serial: int | None, today: date) -> list[Reason]:
    """Return what is to be said of a card's values: that there are none, or that they are old."""
    if values is None:
        return [Reason(Code.CARD_UNCALIBRATED, uncalibrated(serial))]
    if values.is_old(today):
        return [
            Reason(
                Code.CARD_OLD,
                f"Card No. {values.serial} was measured {values.months_old(today)} months ago, and inks fade. Measure "
                "it again. Until then read its colours with some doubt.",
            )
        ]
    return []
