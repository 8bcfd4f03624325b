"""What is said of a pick list: why a colour is printed, how far a snippet is off, and what it all comes to."""

from tenter.consultation.stock.pick_list import NearestSnippet, PickList, ToPrint, WhyPrinted
from tenter.consultation.stock.snippets import Snippet
from tenter.language import _, all_of, local_number, ngettext
from tenter.report.words import terms


def pick_summary(found: PickList) -> str:
    """Return how many colours come out of drawers and how many are printed, in a sentence."""
    printed = len(found.to_print)
    if not found.picks and not printed:
        return _("This palette has no colours yet.")
    if not found.picks:
        return _("No drawer has a colour of this palette. All {printed} are to be printed.", printed=printed)
    taken = ngettext("{count} colour from the drawers", "{count} colours from the drawers", len(found.picks))
    if not printed:
        return _("{taken}, none to be printed.", taken=taken)
    return _("{taken}, {printed} to be printed.", taken=taken, printed=printed)


def off_by(nearest: NearestSnippet) -> str:
    """Return how a snippet differs from its colour, in words, and in ΔE00 where an eye sees it."""
    if nearest.is_same:
        return nearest.difference
    return _("{difference} (ΔE00 {delta_e})", difference=nearest.difference, delta_e=local_number(nearest.delta_e, 1))


def printed_why(printed: ToPrint) -> str:
    """Return why a colour is printed."""
    nearest = printed.nearest
    if nearest is None:
        return _("no snippets in stock")
    drawer = nearest.snippet.drawer
    if printed.why is WhyPrinted.DRAWER_EMPTY:
        return _("drawer {drawer} would fit, but is empty", drawer=drawer)
    if printed.why is WhyPrinted.TAKEN:
        return _("drawer {drawer} is used for a colour that it is closer to", drawer=drawer)
    return _("nothing near enough: the nearest is drawer {drawer}, {off}", drawer=drawer, off=off_by(nearest))


def by_hand_line(found: PickList) -> str:
    """Return which metals are looked for by eye, in a sentence; empty where there are none."""
    names = all_of([terms.colour(colour.name) for colour in found.by_hand])
    return _("Look for by eye: {names}. A metal cannot be judged by one colour value.", names=names) if names else ""


def stock_words(snippet: Snippet) -> str:
    """Return how many pieces a drawer holds, and whether that is few."""
    pieces = ngettext("{count} piece", "{count} pieces", snippet.count) if snippet.count else _("empty")
    return _("{pieces}, reorder", pieces=pieces) if snippet.is_low else pieces
