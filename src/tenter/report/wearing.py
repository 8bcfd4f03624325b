"""What to wear: the palette in the order of a handover, what was seen before what is predicted."""

from collections import Counter
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from tenter.arrays import steady
from tenter.colorimetry.difference import delta_e_2000
from tenter.consultation.judgements import PairJudgement, Preference, Suits
from tenter.consultation.palette import Fit, Palette, PaletteEntry
from tenter.consultation.sitting import Sitting
from tenter.consultation.verdict import Verdict
from tenter.consultation.wear_role import Role
from tenter.report.marks import Mark, Statement
from tenter.report.swatches import Swatch
from tenter.report.wording import listed

_FIRST, _NEUTRALS, _WHITES, _LEFT, _PHRASES = 5, 6, 2, 5, 2
_YES_TEXT = "Your season's other colours. Wear them away from your face, or with one of your best at the neck."
_SMALL_TEXT = "Your season's too, but they did less for you when held. Keep them to a bag, a belt or part of a print."
_ANSWERS = {
    Suits.WORKS.value: "worked on its own",
    Suits.TOLERABLE.value: "tolerable on its own",
    Suits.FAILS.value: "did not work on its own",
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
    """The palette in the order of a handover. The section "small" is there only where a cloth is in it."""

    first: tuple[PaletteLine, ...]
    sections: tuple[PaletteSection, ...]
    likings: tuple[str, ...]

    def section(self, key: str) -> PaletteSection:
        """Return one section by its key."""
        return next(s for s in self.sections if s.key == key)


def wearing(sitting: Sitting, verdict: Verdict, palette: Palette, swatches: Mapping[str, Swatch]) -> Wearing:
    """Return the palette as it is handed over."""
    neutrals, whites = (*palette.neutrals[:_NEUTRALS], *palette.coats), _whites(sitting, palette.whites)
    placed = {e.drape.id for e in (*neutrals, *whites)}
    best, yes, borrow, left = (_without(palette.of_fit(f), placed) for f in Fit)
    small, yes = tuple(e for e in yes if e.in_small_areas), tuple(e for e in yes if not e.in_small_areas)
    first = _lines([e for e in (*_seen_first(best), *_seen_first(yes)) if e.for_cover][:_FIRST], swatches)
    return Wearing(
        first=tuple(first),
        sections=(
            _section("best", "Your best", _best_text(verdict), best, swatches),
            _section("yes", "Yours too", _YES_TEXT, yes, swatches),
            _section("neutrals", "Neutrals", _neutral_text(palette), neutrals, swatches),
            _section("whites", "Whites", _white_text(sitting, whites, palette), whites, swatches),
            _section("metals", "Metals", _metal_text(palette), palette.metals, swatches),
            *([_section("small", "In small areas", _SMALL_TEXT, small, swatches)] if small else []),
            _section("borrow", "Borrow", _borrow_text(borrow), borrow, swatches),
            _left_section(left, swatches),
        ),
        likings=tuple(_likings(sitting, (*best, *yes))),
    )


def _without(entries: Iterable[PaletteEntry], ids: Collection[str]) -> tuple[PaletteEntry, ...]:
    return tuple(e for e in entries if e.drape.id not in ids)


def _seen_first(entries: Iterable[PaletteEntry]) -> list[PaletteEntry]:
    return sorted(entries, key=lambda e: not e.seen)  # the sort keeps "best first" within each part


def _lines(entries: Iterable[PaletteEntry], swatches: Mapping[str, Swatch]) -> list[PaletteLine]:
    return [PaletteLine(swatches[e.drape.id], Mark.SEEN if e.seen else Mark.PREDICTED, _answer(e)) for e in entries]


def _answer(entry: PaletteEntry) -> str:
    """Return why a cloth is where it is, or what was seen of it last; of many answers, how many more there are."""
    if entry.moved:
        return f"{entry.moved}: {entry.role}" if entry.role is Role.BELOW_WAIST else entry.moved
    # Of two combinations that share this cloth, the answer speaks about the other one.
    about_it = [words for words in reversed(entry.seen) if entry.drape.name not in words] or list(entry.seen)
    told = [_ANSWERS.get(words, words) for words in about_it[:_PHRASES]]
    more = len(about_it) - _PHRASES
    return "; ".join(told) + (f"; and {more} more" if more > 0 else "")


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


def _best_text(verdict: Verdict) -> str:
    return (
        f"The cloths of {verdict.season} that lie nearest to you. Wear them close to your face: collars, scarves, "
        "blouses, glasses."
    )


def _neutral_text(palette: Palette) -> str:
    if palette.neutrals:
        return "For coats, trousers, shoes and bags, nearest first."
    instead = "Take a dark or a muted colour of your own list instead"
    if not palette.coats:
        return f"This kit holds no neutral for you. {instead}."
    least = listed([e.drape.name for e in palette.coats])
    return (
        f"None of this kit's neutrals is for wearing near your face. {instead}. For coats and trousers, away from the "
        f"face, the least unsuitable of the kit: {least}."
    )


def _white_text(sitting: Sitting, whites: Sequence[PaletteEntry], palette: Palette) -> str:
    if not whites:
        return "This kit holds no white."
    contrast = palette.contrast
    by_clarity = "your place on clarity, as no contrast was measured"
    ground = f"the {contrast.level} contrast in your face" if contrast else by_clarity
    white, seen_best = whites[0].drape.name, _best_seen(sitting, whites[0], palette.whites)
    if seen_best != white:
        return f"Best white: {seen_best}, by what was seen at the sitting. By undertone and {ground}: {white}."
    return f"Best white: {white}, by undertone and {ground}."


def _whites(sitting: Sitting, whites: Sequence[PaletteEntry]) -> tuple[PaletteEntry, ...]:
    """Return the first whites that nothing seen speaks against, and any that was seen to do better than one of them."""
    first = (tuple(e for e in whites if not e.found.off) or tuple(whites))[:_WHITES]
    better = {name for white in first for name in whites_seen_better(sitting, white, whites)}
    return (*first, *(e for e in whites if e.drape.name in better and e not in first))


def _best_seen(sitting: Sitting, white: PaletteEntry, whites: Sequence[PaletteEntry]) -> str:
    """Return the white that is reached by going from each to one that did better, until none did."""
    by_name, passed = {e.drape.name: e for e in whites}, {white.drape.name}
    while better := [n for n in whites_seen_better(sitting, white, whites) if n not in passed]:
        white = by_name[better[0]]
        passed.add(better[0])
    return white.drape.name


def whites_seen_better(sitting: Sitting, white: PaletteEntry, whites: Sequence[PaletteEntry]) -> tuple[str, ...]:
    """Return the whites that won over one at the sitting, and did not lose to it as well."""
    names = {(e.drape.id,): e.drape.name for e in whites}
    won: list[str] = []
    lost: list[str] = []
    for entry in sitting.evidence:
        judgement = entry.judgement
        if not (isinstance(judgement, PairJudgement) and judgement.winner and (white.drape.id,) in judgement.sides):
            continue
        other = next(s for s in judgement.sides if s != (white.drape.id,))
        if other in names:
            (won if judgement.winner == other else lost).append(names[other])
    return tuple(dict.fromkeys(name for name in won if name not in lost))


def _metal_text(palette: Palette) -> str:
    sides = {(e.drape.undertone or 0.0) > 0 for e in palette.metals}
    if not sides:
        return "This kit holds no metal of your side."
    if len(sides) == 2:
        return "Warm and cool metals are both yours: neither side leads by enough to choose."
    return (
        f"{'Warm' if True in sides else 'Cool'} metals. Shine makes one colour value say little, so their undertone is "
        "set by hand."
    )


def _borrow_text(borrow: Sequence[PaletteEntry]) -> str:
    if not borrow:
        return "No cloth of this kit lies near enough to be borrowed from a neighbour."
    return "From the neighbouring groups: in small areas, away from the face, or beside one of your best."


def _left_section(left: Sequence[PaletteEntry], swatches: Mapping[str, Swatch]) -> PaletteSection:
    """Draw the seen cloths furthest from the client; tell of all others in words."""
    tried = [e for e in reversed(left) if e.seen]
    drawn, also = tried[:_LEFT], tried[_LEFT:]
    rest = []
    if also:
        rest.append(Statement(f"Also held: {listed([e.drape.name for e in also])}.", Mark.SEEN))
    unseen = [e for e in left if not e.seen]
    if unseen:
        families = Counter(str(e.drape.hue_family) for e in unseen)
        told = listed([f"{family} ({count})" for family, count in families.most_common()])
        rest.append(Statement(f"{len(unseen)} more of the kit were not held on you: {told}.", Mark.PREDICTED))
    text = (
        "Nothing needs to be thrown away. These give more to another face than to yours; a loved one goes well away "
        "from the face, or with one of your best between."
    )
    return PaletteSection("leave", "You may leave to others", text, tuple(_lines(drawn, swatches)), (), tuple(rest))


def _likings(sitting: Sitting, own: Sequence[PaletteEntry]) -> list[str]:
    told = []
    for entry in sitting.entries:
        judgement = entry.judgement
        if not (entry.stands and isinstance(judgement, Preference)):
            continue
        liked = [judgement.liked] if isinstance(judgement.liked, str) else list(judgement.liked)
        names = listed([sitting.kit[c].name for c in liked])
        if set(liked) <= {e.drape.id for e in own}:
            told.append(f"You liked {names}: it is among your own colours.")
        else:
            told.append(
                f"You liked {names}. Liking is kept apart and moved nothing here. {_nearest(sitting, liked[0], own)}"
            )
    return told


def _nearest(sitting: Sitting, cloth: str, own: Sequence[PaletteEntry]) -> str:
    """Return how to have a loved colour all the same: the nearest of one's own, and where to wear it."""
    wear = "wear the loved one away from your face, or in a small area."
    if not own:
        return wear.capitalize()
    lab, kit = sitting.kit.bench_colours.lab, sitting.kit
    apart = delta_e_2000(lab[[kit.row(e.drape.id) for e in own]], lab[kit.row(cloth)])
    return f"The nearest to it among your own is {own[int(np.argmin(steady(apart)))].drape.name}; {wear}"
