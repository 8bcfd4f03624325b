"""What to wear: the palette in the order of a handover, what was seen before what is predicted."""

from collections import Counter
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from tenter.consultation.findings.verdict import Verdict
from tenter.consultation.palette.palette import Palette
from tenter.consultation.palette.palette_parts import Fit, PaletteEntry
from tenter.consultation.palette.seen import ALONE, BETTER, WORSE
from tenter.consultation.palette.wear_role import Role
from tenter.consultation.sitting.sitting import Sitting
from tenter.consultation.words.answers import Suits
from tenter.language import N_, Sentence, _, all_of, gettext_lazy, ngettext, pgettext
from tenter.report.words import terms
from tenter.report.words.marks import Mark, Statement
from tenter.report.words.swatches import Swatch
from tenter.report.words.wearing_words import (
    MOST_PLAIN,
    best_text,
    borrow_text,
    likings,
    metal_text,
    neutral_text,
    of_hues,
    seen_first,
    white_text,
    whose,
    yes_text,
)

# Cloths drawn of each: first ones, neutrals, whites, those best left; and phrases about one.
_FIRST, _NEUTRALS, _WHITES, _LEFT, _PHRASES = 5, 6, 2, 5, 2
_SMALL_TEXT = N_("The client’s too, but these did less when held. For a bag, a belt or part of a print.")
_WON_AND_LOST = N_("once better than, once less good than {other}")
_ANSWERS = {
    ALONE[Suits.WORKS]: N_("worked on its own"),
    ALONE[Suits.TOLERABLE]: N_("tolerable on its own"),
    ALONE[Suits.FAILS]: N_("did not work on its own"),
}


@dataclass(frozen=True, slots=True)
class PaletteLine:
    """One cloth: seen on the client with the answer, or predicted."""

    swatch: Swatch
    mark: Mark
    answer: str


@dataclass(frozen=True, slots=True)
class PaletteSection:
    """One part of the palette: the cloths that were seen come first. `rest` tells in words of those not drawn."""

    key: str
    title: str
    text: str
    seen: tuple[PaletteLine, ...]
    predicted: tuple[PaletteLine, ...]
    rest: tuple[Statement, ...] = ()

    @property
    def lines(self) -> tuple[PaletteLine, ...]:
        """Every cloth drawn, the seen ones first."""
        return self.seen + self.predicted


@dataclass(frozen=True, slots=True)
class Wearing:
    """The palette in the order of a handover. The section "small" is there only where a cloth is in it.

    wanted: for each of the likings, the cloth that is wanted and not the client's, or "".
    """

    first: tuple[PaletteLine, ...]
    sections: tuple[PaletteSection, ...]
    likings: tuple[str, ...]
    wanted: tuple[str, ...]

    def section(self, key: str) -> PaletteSection:
        """Return one section by its key."""
        return next(s for s in self.sections if s.key == key)


def wearing(sitting: Sitting, verdict: Verdict, palette: Palette, swatches: Mapping[str, Swatch]) -> Wearing:
    """Return the palette as it is handed over."""
    neutrals, whites = (*palette.neutrals[:_NEUTRALS], *palette.coats), _whites(palette.whites)
    placed = {e.drape.id for e in (*neutrals, *palette.plain[:MOST_PLAIN], *whites)}
    best, yes, borrow, left = (_without(palette.of_fit(f), placed) for f in Fit)
    small, yes = tuple(e for e in yes if e.in_small_areas), tuple(e for e in yes if not e.in_small_areas)
    own = whose(sitting.method, verdict)
    first = _lines([e for e in (*seen_first(best), *seen_first(yes)) if e.for_cover][:_FIRST], swatches)
    liked = likings(
        sitting,
        (*best, *yes),
        (*palette.neutrals[:_NEUTRALS], *whites[:1], *palette.metals),
        (*palette.coats, *palette.plain[:MOST_PLAIN]),
    )
    return Wearing(
        first=tuple(first),
        sections=(
            _section("best", _("Best"), best_text(own, best), best, swatches),
            replace(_section("yes", _("Also theirs"), yes_text(own, best, yes), yes, swatches), rest=of_hues(palette)),
            _section("neutrals", _("Neutrals"), neutral_text(palette), neutrals, swatches),
            _section("whites", _("Whites"), white_text(whites, palette), whites, swatches),
            _section("metals", _("Metals"), metal_text(palette, sitting.kit), palette.metals, swatches),
            *([_section("small", _("In small areas"), _(_SMALL_TEXT), small, swatches)] if small else []),
            _section("borrow", _("Borrow"), borrow_text(borrow, best, palette), borrow, swatches),
            _left_section(left, swatches),
        ),
        likings=tuple(said for said, _cloth in liked),
        wanted=tuple(cloth for _said, cloth in liked),
    )


def _without(entries: Iterable[PaletteEntry], ids: Collection[str]) -> tuple[PaletteEntry, ...]:
    return tuple(e for e in entries if e.drape.id not in ids)


def _lines(entries: Iterable[PaletteEntry], swatches: Mapping[str, Swatch]) -> list[PaletteLine]:
    return [PaletteLine(swatches[e.drape.id], Mark.SEEN if e.seen else Mark.PREDICTED, _answer(e)) for e in entries]


def _answer(entry: PaletteEntry) -> str:
    """Return why a cloth is where it is, or what was seen of it last; of many answers, how many more there are."""
    if entry.why_moved is not None:
        return _("{seen}: below the waist", seen=entry.moved) if entry.role is Role.BELOW_WAIST else entry.moved
    # Of two combinations that share this cloth, the answer speaks about the other one.
    found = entry.found.told
    about_it = _won_and_lost([told for told in reversed(found) if entry.drape.name not in _other(told)] or found)
    said = [_(_ANSWERS[told]) if told in _ANSWERS else str(told) for told in about_it[:_PHRASES]]
    more = len(about_it) - _PHRASES
    return pgettext("between answers", "; ").join([*said, *([_("and {count} more", count=more)] if more > 0 else [])])


def _other(told: Sentence) -> str:
    """Return the cloths beside which an answer was given; empty where it was given of one alone."""
    return str(told.value("other")) if told.has("other") else ""


def _won_and_lost(told: Sequence[Sentence]) -> list[Sentence]:
    """Return answers in which winning and losing against one cloth is a single one, at the place of the later."""
    merged: dict[Sentence, None] = {}
    for one in told:
        if one.message in (BETTER, WORSE):
            other = one.value("other")
            if all(gettext_lazy(verb, other=other) in told for verb in (BETTER, WORSE)):
                merged[gettext_lazy(_WON_AND_LOST, other=other)] = None
                continue
        merged[one] = None
    return list(merged)


def _section(
    key: str, title: str, text: str, entries: Sequence[PaletteEntry], swatches: Mapping[str, Swatch]
) -> PaletteSection:
    lines = _lines(entries, swatches)
    return PaletteSection(
        key,
        title,
        text,
        seen=tuple(line for line in lines if line.mark is Mark.SEEN),
        predicted=tuple(line for line in lines if line.mark is Mark.PREDICTED),
    )


def _whites(whites: Sequence[PaletteEntry]) -> tuple[PaletteEntry, ...]:
    """Return the best white, and the next that is the client's or won over another, if nothing speaks against it."""
    others = [e for e in whites[1:] if (e.fit is not Fit.LEAVE or e.found.won_over) and not e.found.off]
    return tuple([*whites[:1], *others][:_WHITES])


def _left_section(left: Sequence[PaletteEntry], swatches: Mapping[str, Swatch]) -> PaletteSection:
    """Draw the seen cloths furthest from the client; tell of all others in words."""
    tried = [e for e in reversed(left) if e.seen]
    drawn, also = tried[:_LEFT], tried[_LEFT:]
    rest = []
    if also:
        cloths = all_of([e.drape.name for e in also])
        rest.append(Statement(_("Also held: {cloths}.", cloths=cloths), Mark.SEEN))
    unseen = [e for e in left if not e.seen]
    if unseen:
        families = Counter(str(e.drape.hue_family) for e in unseen)
        told = ngettext(
            "{count} more of the kit was not held on the client: {hues}.",
            "{count} more of the kit were not held on the client: {hues}.",
            len(unseen),
            hues=all_of([f"{terms.hue(family)} ({count})" for family, count in families.most_common()]),
        )
        rest.append(Statement(told, Mark.PREDICTED))
    title = _("Best kept away from the face")
    text = _(
        "Nothing needs to be thrown away. Wear a loved one well away from the face, or with one of your best between."
    )
    return PaletteSection("leave", title, text, tuple(_lines(drawn, swatches)), (), tuple(rest))
