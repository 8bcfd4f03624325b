"""What a sitting's palette takes out of the studio's drawers, beside what its client has of them already."""

from dataclasses import dataclass, replace

from tenter.consultation.colours.colours import PaletteColour
from tenter.consultation.stock.pick_list import PickList, pick_list
from tenter.consultation.stock.snippets import Stock
from tenter.report.on_screen.pick_words import off_by, printed_why
from tenter.report.on_screen.stock_swatches import colour_hexes, snippet_swatches
from tenter.report.words import terms
from tenter.web.models import Sitting, SnippetRecord
from tenter.web.papers import handed
from tenter.web.stock import stock_room


@dataclass(frozen=True, slots=True)
class PickLine:
    """One line of a pick list: a colour as it is called, the snippet for it if there is one, and what is to be said."""

    colour: PaletteColour
    called: str
    hex: str
    said: str
    drawer: str = ""
    name: str = ""
    snippet_hex: str = ""
    left: int = 0
    low: bool = False


@dataclass(frozen=True, slots=True)
class ForClient:
    """The pick list of a sitting. taken: what its client has already, with how many pieces of each."""

    found: PickList
    taken: tuple[tuple[SnippetRecord, int], ...]

    @property
    def picks(self) -> tuple[PickLine, ...]:
        """What to take out, by drawer."""
        colours = colour_hexes([one.colour for one in self.found.picks])
        held = Stock(tuple(one.of.snippet for one in self.found.picks))
        swatches = {swatch.drawer: swatch.hex for swatch in snippet_swatches(held)}
        return tuple(
            PickLine(
                colour=one.colour,
                called=terms.colour(one.colour.name),
                hex=screen,
                said=off_by(one.of),
                drawer=one.drawer,
                name=one.of.snippet.name,
                snippet_hex=swatches[one.drawer],
                left=one.left,
                low=one.is_low_after,
            )
            for one, screen in zip(self.found.picks, colours, strict=True)
        )

    @property
    def printed(self) -> tuple[PickLine, ...]:
        """What to print, in the palette's order."""
        colours = colour_hexes([one.colour for one in self.found.to_print])
        return tuple(
            PickLine(one.colour, terms.colour(one.colour.name), screen, printed_why(one))
            for one, screen in zip(self.found.to_print, colours, strict=True)
        )


def for_client(row: Sitting, within: float | None = None) -> ForClient:
    """Return the pick list of a sitting; raises `PhaseMissing` before there is a verdict.

    within: how far a snippet may be from its colour, in ΔE00; None for the usual.
    """
    palette = handed.palette_of_sitting(row)
    taken = tuple(stock_room.out_for(row))
    given = Stock(tuple(stock_room.as_given(snippet, number) for number, (snippet, _) in enumerate(taken)))
    has = {id(pick.colour) for pick in pick_list(palette, given, within).picks}
    still = replace(palette, colours=tuple(colour for colour in palette.colours if id(colour) not in has))
    return ForClient(pick_list(still, stock_room.stock_of(row.client.owner), within), taken)
