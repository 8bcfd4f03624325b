"""What to wear: the palette in the order of a handover, what was seen before what is predicted."""

from collections import Counter
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from tenter.consultation.answers import Suits
from tenter.consultation.kit import Kit
from tenter.consultation.method import Method, SiblingColours
from tenter.consultation.no_evidence import Preference
from tenter.consultation.palette import Palette
from tenter.consultation.palette_parts import Fit, PaletteEntry
from tenter.consultation.sitting import Sitting
from tenter.consultation.verdict import Verdict
from tenter.consultation.wanted import nearest_own
from tenter.consultation.wear_role import Role
from tenter.numerals import listed
from tenter.report.marks import Mark, Statement
from tenter.report.swatches import Swatch

_FIRST, _NEUTRALS, _PLAIN, _WHITES, _LEFT, _PHRASES = 5, 6, 3, 2, 5, 2
_SMALL_TEXT = "The client’s too, but these did less when held. For a bag, a belt or part of a print."
_BESIDE = ("better than ", "not as good as ")
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
    neutrals, whites = (*palette.neutrals[:_NEUTRALS], *palette.coats), _whites(palette.whites)
    placed = {e.drape.id for e in (*neutrals, *palette.plain[:_PLAIN], *whites)}
    best, yes, borrow, left = (_without(palette.of_fit(f), placed) for f in Fit)
    small, yes = tuple(e for e in yes if e.in_small_areas), tuple(e for e in yes if not e.in_small_areas)
    whose = _whose(sitting.method, verdict)
    first = _lines([e for e in (*_seen_first(best), *_seen_first(yes)) if e.for_cover][:_FIRST], swatches)
    return Wearing(
        first=tuple(first),
        sections=(
            _section("best", "Best", _best_text(whose, best), best, swatches),
            replace(_section("yes", "Also theirs", _yes_text(whose, best, yes), yes, swatches), rest=_of_hues(palette)),
            _section("neutrals", "Neutrals", _neutral_text(palette), neutrals, swatches),
            _section("whites", "Whites", _white_text(whites, palette), whites, swatches),
            _section("metals", "Metals", _metal_text(palette, sitting.kit), palette.metals, swatches),
            *([_section("small", "In small areas", _SMALL_TEXT, small, swatches)] if small else []),
            _section("borrow", "Borrow", _borrow_text(borrow, best, palette), borrow, swatches),
            _left_section(left, swatches),
        ),
        likings=tuple(
            _likings(
                sitting,
                (*best, *yes),
                (*palette.neutrals[:_NEUTRALS], *whites[:1], *palette.metals),
                (*palette.coats, *palette.plain[:_PLAIN]),
            )
        ),
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
    about_it = _won_and_lost(about_it)
    told = [_ANSWERS.get(words, words) for words in about_it[:_PHRASES]]
    more = len(about_it) - _PHRASES
    return "; ".join(told) + (f"; and {more} more" if more > 0 else "")


def _won_and_lost(told: Sequence[str]) -> list[str]:
    """Return answers in which winning and losing against one cloth is a single one, at the place of the later."""
    merged: list[str] = []
    for words in told:
        verb = next((v for v in _BESIDE if words.startswith(v)), "")
        other = words.removeprefix(verb)
        both = f"once better than, once less good than {other}"
        if verb and all(f"{v}{other}" in told for v in _BESIDE):
            merged += [both] if both not in merged else []
        else:
            merged.append(words)
    return merged


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


def _whose(method: Method, verdict: Verdict) -> str:
    """Return of what the client's own cloths are: a season, a category, or the two that a client is between."""
    usable = method.readings.sibling_colours is SiblingColours.USABLE
    one_season = method.season_of[verdict.runner_up] == verdict.season
    if verdict.is_between and not (usable and one_season):
        return f"{verdict.category} and {verdict.runner_up}"
    return verdict.season if usable else verdict.category


def _best_text(whose: str, best: Sequence[PaletteEntry]) -> str:
    if not best:
        return f"No cloth of {whose} in this kit is for wearing close to the face."
    return f"The cloths of {whose} nearest to the client, for close to the face: collars, scarves, blouses, glasses."


def _yes_text(whose: str, best: Sequence[PaletteEntry], yes: Sequence[PaletteEntry]) -> str:
    if not yes:
        return f"This kit holds no other colour of {whose} for the client."
    partner = listed([e.drape.name for e in _seen_first(best)[:2]], "or")
    with_it = f", or with {partner} at the neck" if partner else ""
    return f"The other colours of {whose}, for away from the face{with_it}."


def _neutral_text(palette: Palette) -> str:
    names = [e.drape.name for e in palette.plain[:_PLAIN]]
    plain = f" {listed(names)} may be worn too, well away from your face." if names else ""
    return _nearest_neutrals(palette) + plain


def _nearest_neutrals(palette: Palette) -> str:
    if palette.neutrals:
        return "For coats, trousers, shoes and bags, nearest first."
    instead = "A dark or a muted colour of the client’s own does instead"
    if not palette.coats:
        return f"This kit holds no neutral for the client. {instead}."
    least = listed([e.drape.name for e in palette.coats])
    return (
        f"None of this kit's neutrals is for wearing near the face. {instead}. For coats and trousers, away from the "
        f"face, the least unsuitable of the kit: {least}."
    )


def _white_text(whites: Sequence[PaletteEntry], palette: Palette) -> str:
    if not whites:
        return "This kit holds no white."
    contrast = palette.contrast
    by_clarity = "the client’s place on clarity, as no contrast was measured"
    ground = f"the {contrast.level} contrast in the face" if contrast else by_clarity
    best, predicted = whites[0], palette.predicted_white
    if predicted and predicted.drape.id != best.drape.id:
        told = f"Best white of the kit: {best.drape.name}, by what was seen at the sitting."
        return f"{told} By undertone and {ground}: {predicted.drape.name}."
    return f"Best white of the kit: {best.drape.name}, by undertone and {ground}."


def _whites(whites: Sequence[PaletteEntry]) -> tuple[PaletteEntry, ...]:
    """Return the best white, and the next that is the client's or won over another, if nothing speaks against it."""
    others = [e for e in whites[1:] if (e.fit is not Fit.LEAVE or e.found.won_over) and not e.found.off]
    return tuple([*whites[:1], *others][:_WHITES])


def _metal_text(palette: Palette, kit: Kit) -> str:
    sides = {(e.drape.undertone or 0.0) > 0 for e in palette.metals}
    if not sides:
        return "This kit holds no metal of the client’s side."
    if len(sides) == 2:
        first = palette.metals[0]
        seen = f" {first.drape.name} did better when held." if first.found.won_over or first.found.blends else ""
        slight = "the undertone is too slight, or not sure enough, to choose"
        return f"Warm and cool metals are both the client’s: {slight}.{seen}"
    return (
        f"{'Warm' if True in sides else 'Cool'} metals. A metal can't be judged by one colour value, so its undertone "
        f"is set by hand.{_better_metal(palette, kit)}"
    )


def _better_metal(palette: Palette, kit: Kit) -> str:
    """Say which metal of the other side did better than those of the client's when held, if one did."""
    own = {e.drape.id for e in palette.metals}
    won = dict.fromkeys(c for e in palette.metals for c in e.found.lost_to if c not in own and kit[c].is_metal)
    if not won:
        return ""
    return f" When held, {listed([kit[c].name for c in won])} did better, but the cloths say otherwise."


def _borrow_text(borrow: Sequence[PaletteEntry], best: Sequence[PaletteEntry], palette: Palette) -> str:
    if not borrow:
        above = "What you may borrow from a neighbour is named above."
        return above if palette.of_fit(Fit.BORROW) else "This kit holds nothing for you to borrow from a neighbour."
    if not best:
        return "From the neighbouring groups: in small areas, or away from the face."
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
        rest.append(
            Statement(
                f"{len(unseen)} more of the kit {'was' if len(unseen) == 1 else 'were'} not held on the client: "
                f"{told}.",
                Mark.PREDICTED,
            )
        )
    text = (
        "Nothing needs to be thrown away. Wear a loved one well away from the face, or with one of your best between."
    )
    return PaletteSection(
        "leave", "Best kept away from the face", text, tuple(_lines(drawn, swatches)), (), tuple(rest)
    )


def _likings(
    sitting: Sitting,
    own: Sequence[PaletteEntry],
    also: Sequence[PaletteEntry] = (),
    away: Sequence[PaletteEntry] = (),
) -> list[str]:
    """Answer each liking; `also` are the client's own too, `away` are named for coats and trousers."""
    told, theirs, for_coats = [], {e.drape.id for e in (*own, *also)}, {e.drape.id for e in away}
    for entry in sitting.entries:
        judgement = entry.judgement
        if not (entry.stands and isinstance(judgement, Preference)):
            continue
        liked = [judgement.liked] if isinstance(judgement.liked, str) else list(judgement.liked)
        names = listed([sitting.kit[c].name for c in liked])
        if set(liked) <= theirs:
            told.append(f"The client likes {names}: {'it is' if len(liked) == 1 else 'they are'} among the best.")
        elif set(liked) <= for_coats:
            told.append(f"The client likes {names}: for coats and trousers, as among the neutrals.")
        else:
            told.append(
                f"The client likes {names}. Favourites did not influence the result. {_nearest(sitting, liked[0], own)}"
            )
    return told


def _nearest(sitting: Sitting, cloth: str, own: Sequence[PaletteEntry]) -> str:
    """Return how to have a loved colour all the same: the nearest of one's own, and where to wear it."""
    wear = "wear the loved one away from the face, or in a small area."
    near = nearest_own(sitting.kit, sitting.method, cloth, own)
    if near is None:
        return wear.capitalize()
    hue = f" in {sitting.kit[cloth].hue_family}" if near.same_hue else ""
    step = f", {' and '.join(near.steps)}" if near.steps else ""
    return f"The nearest to it among their own{hue} is {near.entry.drape.name}{step}. {wear.capitalize()}"


def _of_hues(palette: Palette) -> tuple[Statement, ...]:
    """Return what is said of the hue families of which the kit holds nothing for the client."""
    missing = [h for h in palette.hues if h.entry is None]
    lacking = listed([f"{h.family} ({h.version})" for h in missing if h.version])
    told = [Statement(f"Theirs too, though this kit has none: {lacking}.", Mark.CUSTOM)] if lacking else []
    instead = [Statement(f"No {h.family}; instead {h.instead}.", Mark.CUSTOM) for h in missing if h.instead]
    return (*told, *instead)
