"""What is said of each part of the palette on the studio's sheet, of what the client likes, and of missing hues."""

from collections.abc import Iterable, Sequence

from tenter.consultation.cloths.kit import Kit
from tenter.consultation.conventions.method import Method
from tenter.consultation.conventions.method_parts import SiblingColours
from tenter.consultation.findings.verdict import Verdict
from tenter.consultation.palette.palette import Palette
from tenter.consultation.palette.palette_parts import Fit, PaletteEntry
from tenter.consultation.palette.wanted import nearest_own
from tenter.consultation.record.no_evidence import Preference
from tenter.consultation.sitting.sitting import Sitting
from tenter.consultation.words.terms import compared
from tenter.language import _, all_of, ngettext, one_of
from tenter.report.words import terms
from tenter.report.words.marks import Mark, Statement

MOST_PLAIN = 3  # blacks and plain greys that are named


def seen_first(entries: Iterable[PaletteEntry]) -> list[PaletteEntry]:
    """Return entries with what was seen before what is predicted."""
    return sorted(entries, key=lambda e: not e.seen)  # the sort keeps "best first" within each part


def whose(method: Method, verdict: Verdict) -> str:
    """Return of what the client's own cloths are: a season, a category, or the two that a client is between."""
    usable = method.readings.sibling_colours is SiblingColours.USABLE
    one_season = method.season_of[verdict.runner_up] == verdict.season
    if verdict.is_between and not (usable and one_season):
        return all_of([terms.season(verdict.category), terms.season(verdict.runner_up)])
    return terms.season(verdict.season if usable else verdict.category)


def best_text(whose: str, best: Sequence[PaletteEntry]) -> str:
    """Return what the best are for; `whose`: of what the client's own cloths are."""
    if not best:
        return _("No cloth of {whose} in this kit is for wearing close to the face.", whose=whose)
    return _(
        "The cloths of {whose} nearest to the client, for close to the face: collars, scarves, blouses, glasses.",
        whose=whose,
    )


def yes_text(whose: str, best: Sequence[PaletteEntry], yes: Sequence[PaletteEntry]) -> str:
    """Return what the client's other colours are for, and with which of the best they are worn."""
    if not yes:
        return _("This kit holds no other colour of {whose} for the client.", whose=whose)
    if not best:
        return _("The other colours of {whose}, for away from the face.", whose=whose)
    return _(
        "The other colours of {whose}, for away from the face, or with {cloth} at the neck.",
        whose=whose,
        cloth=one_of([e.drape.name for e in seen_first(best)[:2]]),
    )


def neutral_text(palette: Palette) -> str:
    """Return what the neutrals are for, and what serves where the kit has none."""
    names = [e.drape.name for e in palette.plain[:MOST_PLAIN]]
    if not names:
        return _nearest_neutrals(palette)
    plain = _("{cloths} may be worn too, well away from your face.", cloths=all_of(names))
    return f"{_nearest_neutrals(palette)} {plain}"


def _nearest_neutrals(palette: Palette) -> str:
    if palette.neutrals:
        return _("For coats, trousers, shoes and bags, nearest first.")
    if not palette.coats:
        return _("This kit holds no neutral for the client. Use a dark or muted colour of the client’s own instead.")
    return _(
        "None of this kit’s neutrals suits near the face. A dark or muted colour of the client’s own does instead. "
        "For coats and trousers, away from the face, the least unsuitable are: {cloths}.",
        cloths=all_of([e.drape.name for e in palette.coats]),
    )


def white_text(whites: Sequence[PaletteEntry], palette: Palette) -> str:
    """Return which white is best, and by what."""
    if not whites:
        return _("This kit holds no white.")
    contrast = palette.contrast
    ground = (
        _("the {level} contrast in the face", level=terms.contrast_words(contrast.level))
        if contrast
        else _("the client’s place on clarity, as no contrast was measured")
    )
    best, predicted = whites[0].drape.name, palette.predicted_white
    if predicted and predicted.drape.id != whites[0].drape.id:
        return _(
            "Best white of the kit: {best}, by what was seen at the sitting. By undertone and {ground}: {predicted}.",
            best=best,
            ground=ground,
            predicted=predicted.drape.name,
        )
    return _("Best white of the kit: {best}, by undertone and {ground}.", best=best, ground=ground)


def metal_text(palette: Palette, kit: Kit) -> str:
    """Return which metals are the client's, and by what."""
    sides = {(e.drape.undertone or 0.0) > 0 for e in palette.metals}
    if not sides:
        return _("This kit holds no metal of the client’s side.")
    if len(sides) == 2:
        first = palette.metals[0]
        told = [
            _("Warm and cool metals are both the client’s: the undertone is too slight, or not sure enough, to choose.")
        ]
        if first.found.won_over or first.found.blends:
            told.append(_("{metal} did better when held.", metal=first.drape.name))
        return " ".join(told)
    by_hand = (
        _("Warm metals. A metal can't be judged by one colour value, so its undertone is set by hand.")
        if True in sides
        else _("Cool metals. A metal can't be judged by one colour value, so its undertone is set by hand.")
    )
    return " ".join((by_hand, *_better_metal(palette, kit)))


def _better_metal(palette: Palette, kit: Kit) -> list[str]:
    """Say which metal of the other side did better than those of the client's when held, if one did."""
    own = {e.drape.id for e in palette.metals}
    won = dict.fromkeys(c for e in palette.metals for c in e.found.lost_to if c not in own and kit[c].is_metal)
    if not won:
        return []
    return [
        _(
            "When held, {metals} did better, but the cloths say otherwise.",
            metals=all_of([kit[c].name for c in won]),
        )
    ]


def borrow_text(borrow: Sequence[PaletteEntry], best: Sequence[PaletteEntry], palette: Palette) -> str:
    """Return how what is borrowed from a neighbour is worn."""
    if not borrow and palette.of_fit(Fit.BORROW):
        return _("What you may borrow from a neighbour is named above.")
    if not borrow:
        return _("This kit holds nothing for you to borrow from a neighbour.")
    if not best:
        return _("From the neighbouring groups: in small areas, or away from the face.")
    return _("From the neighbouring groups: in small areas, away from the face, or beside one of your best.")


def likings(
    sitting: Sitting,
    own: Sequence[PaletteEntry],
    also: Sequence[PaletteEntry] = (),
    away: Sequence[PaletteEntry] = (),
) -> list[tuple[str, str]]:
    """Answer each liking, with the cloth that is wanted and not theirs, or "".

    `also` are the client's own too, `away` are named for coats and trousers.
    """
    told, theirs, for_coats = [], {e.drape.id for e in (*own, *also)}, {e.drape.id for e in away}
    for entry in sitting.entries:
        judgement = entry.judgement
        if not (entry.stands and isinstance(judgement, Preference)):
            continue
        liked = [judgement.liked] if isinstance(judgement.liked, str) else list(judgement.liked)
        names, wanted = all_of([sitting.kit[c].name for c in liked]), ""
        if set(liked) <= theirs:
            said = ngettext(
                "The client likes {names}: it is among the best.",
                "The client likes {names}: they are among the best.",
                len(liked),
                names=names,
            )
        elif set(liked) <= for_coats:
            said = _("The client likes {names}: for coats and trousers, as among the neutrals.", names=names)
        else:
            said = _("The client likes {names}. Favourites did not influence the result.", names=names)
            wanted = liked[0]
            said = f"{said} {_nearest(sitting, wanted, own)}"
        told.append((said, wanted))
    return told


def _nearest(sitting: Sitting, cloth: str, own: Sequence[PaletteEntry]) -> str:
    """Return how to have a loved colour all the same: the nearest of one's own, and where to wear it."""
    wear = _("Wear the loved one away from the face, or in a small area.")
    near = nearest_own(sitting.kit, sitting.method, cloth, own)
    if near is None:
        return wear
    name = near.entry.drape.name
    if near.steps:
        steps = all_of([str(compared(step)) for step in near.steps])
        name = _("{cloth}, {steps}", cloth=name, steps=steps)
    if not near.same_hue:
        return f"{_('Of the cloths, the nearest to it among their own is {cloth}.', cloth=name)} {wear}"
    hue = terms.hue(sitting.kit[cloth].hue_family)
    return f"{_('Of the cloths, the nearest to it among their own in {hue} is {cloth}.', hue=hue, cloth=name)} {wear}"


def of_hues(palette: Palette) -> tuple[Statement, ...]:
    """Return what is said of the hue families of which the kit holds nothing for the client."""
    missing = [h for h in palette.hues if h.entry is None]
    instead = [(terms.hue(one.family), terms.instead_of_hue(one.instead)) for one in missing if one.instead]
    told = [_("No {hue}; instead {instead}.", hue=hue, instead=worn) for hue, worn in instead]
    if lacking := [f"{terms.hue(one.family)} ({terms.hue_version(one.version)})" for one in missing if one.version]:
        told.insert(0, _("Theirs too, though this kit has none: {hues}.", hues=all_of(lacking)))
    return tuple(Statement(text, Mark.CUSTOM) for text in told)
