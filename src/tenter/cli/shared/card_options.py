"""The options that say what card stands in a picture, shared by faces and cloths."""

import re
from collections.abc import Iterable
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

if TYPE_CHECKING:
    from tenter.photo.cards import CardChoice


class ChartOption(StrEnum):
    """The values of --chart; `tenter.photo.cards.ChartKind` repeated so that --help loads no image library."""

    CLASSIC24 = "classic24"
    OWN = "own"
    GREY = "grey"
    PAPER = "paper"
    NONE = "none"


class CardValuesOption(StrEnum):
    """The values of --card-values; `tenter.photo.patches.reference.CardValues` repeated for the same reason."""

    MEAN_OF_30 = "mean-of-30"
    OF_1976 = "1976"
    OF_2005 = "2005"
    BEFORE_2014_11 = "before-2014-11"
    FROM_2014_11 = "from-2014-11"


_NUMBER = re.compile(r"[0-9]{1,9}")  # anything else is the name of a file
ChartChoice = Annotated[ChartOption, typer.Option("--chart", help="The colour card in the picture.")]
ValuesChoice = Annotated[CardValuesOption, typer.Option(help="Which published figures the classic card has.")]
GreyChoice = Annotated[float, typer.Option(help="Reflectance of the grey card, percent.")]
CardPlace = Annotated[
    str | None,
    typer.Option(metavar="X,Y,W,H", help="Where the grey card or the paper is, in pixels of the upright picture."),
]
CardFile = Annotated[
    Path | None,
    typer.Option(
        metavar="NUMBER|FILE",
        help="Our own card's number, else read from it; or a file of values that 'card calibrate' wrote.",
    ),
]

_CALLED_EVEN = "--card-is-evenly-lit"
CalledEven = Annotated[
    bool,
    typer.Option(
        _CALLED_EVEN,
        help="You looked: no shadow, finger or glare is on the card of patches. Overrules chart_covered alone.",
    ),
]
CameraName = Annotated[
    str | None,
    typer.Option("--camera", metavar="NAME", help="The phone, where 'tenter camera learn' has learned it."),
]


def how_to_overrule(codes: Iterable[str]) -> list[str]:
    """Return what is said after the reasons of a photograph: by which option a suspected shadow is overruled."""
    return [f"{_CALLED_EVEN} says that you looked and nothing is there."] if "chart_covered" in codes else []


def card_choice(
    chart: ChartOption,
    values: CardValuesOption,
    grey_percent: float,
    at: str | None,
    own: Path | None,
    evenly_lit: bool = False,
    camera: str | None = None,
) -> "CardChoice":
    """Return what the options say of the card; raises `TenterError` when they do not fit together.

    grey_percent: reflectance of the grey card in percent.
    """
    from tenter.photo.cards import CardChoice, ChartKind
    from tenter.photo.own_card.values import read_card_values
    from tenter.photo.patches.reference import CardValues
    from tenter.photo.phones.kept import kept_camera
    from tenter.photo.places import read_box

    place = None if at is None else read_box(at, "--card-at")
    serial = int(str(own)) if own is not None and _NUMBER.fullmatch(str(own)) else None
    of_print = None if own is None or serial is not None else read_card_values(own)
    return CardChoice(
        ChartKind(chart.value),
        CardValues(values.value),
        grey_percent / 100,
        place,
        of_print,
        evenly_lit,
        serial,
        None if camera is None else kept_camera(camera),
    )
