"""The options that put two photographs of the client on a paper, best against less good."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from tenter.cli.shared.card_options import ChartOption
from tenter.errors import TenterError

if TYPE_CHECKING:
    from tenter.report.client_paper.photo_pair import PhotoPair

BestPhotoOption = Annotated[
    Path | None, typer.Option("--photo-best", help="A photograph beside a colour card, with a colour that did best.")
]
OtherPhotoOption = Annotated[
    Path | None, typer.Option("--photo-less", help="The same with a less good colour, taken in the same light.")
]
AgreedOption = Annotated[
    bool, typer.Option("--photos-agreed", help="The client has agreed to both photographs being printed.")
]
PairChartOption = Annotated[
    ChartOption, typer.Option("--photo-chart", help="The colour card in both: classic24 or own.")
]


def said_photographs(
    best: Path | None, less: Path | None, agreed: bool, chart: ChartOption
) -> "tuple[PhotoPair | None, tuple[str, ...]]":
    """Return what is printed of two photographs, and a line that says so where they are left out.

    Raises
    ------
    TenterError
        If one comes alone, or the client has not agreed.
    """
    if best is None and less is None:
        return None, ()
    if best is None or less is None:
        raise TenterError("one photograph alone shows no difference; give both --photo-best and --photo-less")
    from tenter.photo.cards import ChartKind
    from tenter.photo.files.loading import load_photo
    from tenter.photo.together.side_by_side import side_by_side
    from tenter.report.client_paper.photo_pair import photo_pair, require_agreed

    require_agreed(agreed)
    found = side_by_side([load_photo(best), load_photo(less)], [best.name, less.name], ChartKind(chart.value))
    left_out = () if found.pictures else (f"The photographs are left out: {found.left_out}",)
    return photo_pair(found, agreed), left_out
