"""What is said of a pick list: why a colour is printed, how far a snippet is off, and what it all comes to."""

from tenter.consultation.stock.pick_list import NearestSnippet, PickList, ToPrint, WhyPrinted
from tenter.consultation.stock.snippets import Snippet
from tenter.numerals import how_many, listed


def pick_summary(found: PickList) -> str:
    """Return how many colours come out of drawers and how many are printed, in a sentence."""
    if not found.picks and not found.to_print:
        return "This palette has no colours yet."
    if not found.picks:
        return f"No drawer has a colour of this palette. All {len(found.to_print)} are to be printed."
    taken = f"{_colours(len(found.picks))} from the drawers"
    return f"{taken}, {len(found.to_print)} to be printed." if found.to_print else f"{taken}, none to be printed."


def off_by(nearest: NearestSnippet) -> str:
    """Return how a snippet differs from its colour, in words, and in ΔE00 where an eye sees it."""
    return nearest.difference if nearest.is_same else f"{nearest.difference} (ΔE00 {nearest.delta_e:.1f})"


def printed_why(printed: ToPrint) -> str:
    """Return why a colour is printed."""
    nearest = printed.nearest
    if nearest is None:
        return "no snippets in stock"
    drawer = f"drawer {nearest.snippet.drawer}"
    if printed.why is WhyPrinted.DRAWER_EMPTY:
        return f"{drawer} would fit, but is empty"
    if printed.why is WhyPrinted.TAKEN:
        return f"{drawer} is used for a colour that it is closer to"
    return f"nothing near enough: the nearest is {drawer}, {off_by(nearest)}"


def by_hand_line(found: PickList) -> str:
    """Return which metals are looked for by eye, in a sentence; empty where there are none."""
    names = listed([colour.name for colour in found.by_hand])
    return f"Look for by eye: {names}. A metal cannot be judged by one colour value." if names else ""


def stock_words(snippet: Snippet) -> str:
    """Return how many pieces a drawer holds, and whether that is few."""
    pieces = "empty" if not snippet.count else how_many(snippet.count, "piece")
    return f"{pieces}, reorder" if snippet.is_low else pieces


def _colours(count: int) -> str:
    return how_many(count, "colour")
