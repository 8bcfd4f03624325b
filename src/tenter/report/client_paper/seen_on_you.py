"""What was seen on the client, axis by axis, each time with the place on the face where it was seen.

An answer speaks about an axis by the consultant's own remark (a cloth *too warm* speaks for cool); where there is none,
by the axis in which the two cloths differ most. Answers that the others speak against are left out, and so is an axis
under which no answer counts. What a photograph showed was not seen on the face: it is told only where nothing was held
on its axis, and then as what it is.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field

import numpy as np

from tenter.arrays import steady
from tenter.consultation.axes import Axis
from tenter.consultation.findings.verdict import Trait, Verdict
from tenter.consultation.laid_out.bench import Bench
from tenter.consultation.reading.evidence import differing_cloths
from tenter.consultation.record.judgements import FanJudgement, Judgement, PairJudgement
from tenter.consultation.sitting.sitting import Sitting
from tenter.consultation.words.answers import View
from tenter.consultation.words.flags import Seen, Sign
from tenter.consultation.words.odds_words import Degree
from tenter.consultation.words.traits import LeadingTrait
from tenter.language import N_, _, all_of
from tenter.report.client_paper.answer_words import (
    FACE,
    WHOLE_FACE,
    did_words,
    ends_of,
    is_reason,
    place_of,
    place_words,
)
from tenter.report.client_paper.result import settled_side
from tenter.report.words import terms
from tenter.report.words.wording import sentence

_COLOURS = 2  # they are always said of several
_MOST_PLACES = 3  # places of a face that one sentence names
_TAKEN_TOGETHER = {
    Degree.SLIGHT: N_("Taken together, that is slightly {trait}."),
    Degree.MARKED: N_("Taken together, that is clearly {trait}."),
    Degree.STRONG: N_("Taken together, that is strongly {trait}."),
}
_EACH_AT_ITS_OWN = N_("{better} colours did more for {places}, {worse} ones for {others}.")


@dataclass(slots=True)
class _Shown:
    """What was seen of the colours of one end of an axis: where they did more, and what they did there."""

    places: Counter[str] = field(default_factory=Counter)
    did: list[tuple[Sign, str]] = field(default_factory=list)


def seen_on_you(sitting: Sitting, verdict: Verdict) -> tuple[str, ...]:
    """Return a sentence or two for each axis of which something was seen, in the order of the axes."""
    return tuple(seen_by_axis(sitting, verdict).values())


def seen_by_axis(sitting: Sitting, verdict: Verdict) -> dict[Axis, str]:
    """Return the same by the axis."""
    doubted = {c.number for c in verdict.contradictions}
    held = [e for e in sitting.evidence if e.judgement.view is not View.PHOTOGRAPH]
    tried = {axis for entry in held for axis in _tried(sitting.bench, entry.judgement)}
    told = {}
    for axis, trait in verdict.traits.items():
        entries = held if axis in tried else sitting.evidence
        shown = _shown(sitting.bench, trait, [e.judgement for e in entries if e.number not in doubted])
        if axis in verdict.by_axis:
            told[axis] = _of_axis(trait, *shown) if axis in tried else _on_photographs(trait, *shown)
    return {axis: text for axis, text in told.items() if text}


def _tried(bench: Bench, judgement: Judgement) -> set[Axis]:
    """Return the axes of which an answer tells something, be it that nothing was seen."""
    found = {end.axis for end in ends_of(bench, judgement)}
    if isinstance(judgement, PairJudgement | FanJudgement):
        held = differing_cloths(judgement) if isinstance(judgement, PairJudgement) else judgement.steps
        apart = np.ptp([place_of(bench, cloths) for cloths in held], axis=0)
        found.add(max(Axis, key=lambda a: steady(float(apart[a.column]))))
    return found


def _shown(bench: Bench, trait: Trait, judgements: Iterable[Judgement]) -> tuple[_Shown, _Shown]:
    """Return what was seen of the colours of the trait's end, and of those of the other end."""
    shown = {end: _Shown() for end in LeadingTrait}
    for judgement in judgements:
        place = place_words(judgement.region)
        for end in ends_of(bench, judgement):
            shown[end].places[place] += 1
        for end, seen in _signs(bench, judgement):
            shown[end].did.append((seen.sign, place))
    return shown[trait.side], shown[trait.side.opposite]


def _signs(bench: Bench, judgement: Judgement) -> Iterator[tuple[LeadingTrait, Seen]]:
    """Yield each sign with the end of the cloth over which it was seen, where the answer speaks for one end alone.

    A sign that speaks against the answer is no reason for it, and is left to the studio's own record.
    """
    ends = ends_of(bench, judgement)
    if not isinstance(judgement, PairJudgement) or judgement.winner is None or len(ends) != 1:
        return
    for seen in judgement.signs:
        won = seen.drape in judgement.winner
        if is_reason(seen.sign, won):
            yield (ends[0] if won else ends[0].opposite), seen


def _of_axis(trait: Trait, own: _Shown, other: _Shown) -> str:
    better, worse = trait.side, trait.side.opposite
    for_it, against = own.places.total(), other.places.total()
    if not for_it:
        return ""
    if trait.degree is Degree.MIDDLE or against >= for_it:
        return _both_ways(trait, own, other)
    if for_it == 1 and not own.did and not other.did:
        ends = {"better": terms.colour_trait(better), "worse": terms.colour_trait(worse), "places": _listed(own.places)}
        return _("A {better} colour did more for {places} than a {worse} one (seen once).", **ends)
    told = [_did_more(better, worse, own, other)]
    if for_it == 1:
        told.append(_("This was seen once."))
    elif against == 1:
        told.append(_once(other.places))
    elif against:
        told.append(_("A few answers pointed the other way."))
    return " ".join(told)


def _on_photographs(trait: Trait, own: _Shown, other: _Shown) -> str:
    """Say of an axis on which nothing was held what photographs showed; nothing where they showed no more one way."""
    for_it, against = own.places.total(), other.places.total()
    if for_it <= against:
        return ""
    ends = {
        "better": terms.colour_trait(trait.side),
        "worse": terms.colour_trait(trait.side.opposite),
        "places": _listed(own.places),
    }
    if for_it == 1:
        told = _("On a photograph, a {better} colour did more for {places} than a {worse} one.", **ends)
    else:
        told = _("On photographs, {better} colours did more for {places} than {worse} ones.", **ends)
    return f"{told} {_('This was not repeated with cloth.')}"


def _did_more(better: LeadingTrait, worse: LeadingTrait, own: _Shown, other: _Shown) -> str:
    """Say what the colours of one end did; without signs, only that they did more, and where."""
    ends = {"better": terms.colour_trait(better), "worse": terms.colour_trait(worse)}
    good, poor = _effects(own.did), _effects(other.did)
    if not good:
        ends |= {"places": _listed(own.places), "poor": poor}
        if poor:
            return sentence(_("{better} colours did more for {places} than {worse} ones; {worse} ones {poor}.", **ends))
        return sentence(_("{better} colours did more for {places} than {worse} ones.", **ends))
    ends |= {"good": good, "poor": poor}
    told = _("{better} colours {good}; {worse} ones {poor}.", **ends) if poor else _("{better} colours {good}.", **ends)
    said = {place for _sign, place in (*own.did, *other.did)}
    rest = Counter({place: n for place, n in own.places.items() if place not in said})
    if not rest:
        return sentence(told)
    more = _("{better} ones did more for {places}, too.", places=_listed(rest), **ends)
    return f"{sentence(told)} {sentence(more)}"


def _both_ways(trait: Trait, own: _Shown, other: _Shown) -> str:
    ends = {"better": terms.colour_trait(trait.side), "worse": terms.colour_trait(trait.side.opposite)}
    if not other.places:
        return _(
            "Between {better} and {worse} there was little in it: {better} colours did a little more for {places}.",
            places=_listed(own.places),
            **ends,
        )
    if own.places.keys() & other.places.keys():
        lines = _now_one_now_the_other(own.places, other.places, ends)
        return " ".join((*lines, _taken_together(trait) or _("Neither is clearly ahead.")))
    ends |= {"places": _listed(own.places), "others": _listed(other.places)}
    if not (together := _taken_together(trait)):
        told = _("{better} colours did more for {places}, {worse} ones for {others}: neither is clearly ahead.", **ends)
        return sentence(told)
    return f"{sentence(_(_EACH_AT_ITS_OWN, **ends))} {together}"


def _now_one_now_the_other(own: Counter[str], other: Counter[str], ends: Mapping[str, str]) -> list[str]:
    """Say where each end did more, and of a place where both did at times no more than that."""
    shared = Counter({place: n + other[place] for place, n in own.items() if place in other})
    mine, theirs = (Counter({place: n for place, n in found.items() if place not in shared}) for found in (own, other))
    told = []
    if mine and theirs:
        told.append(_(_EACH_AT_ITS_OWN, places=_listed(mine), others=_listed(theirs), **ends))
    elif mine or theirs:
        end = ends["better" if mine else "worse"]
        told.append(_("{better} colours did more for {places}.", better=end, places=_listed(mine or theirs)))
    if not told or shared.keys() - {FACE, WHOLE_FACE}:
        did = _("For {places}, {better} and {worse} colours each did more at times.", places=_listed(shared), **ends)
        told.append(did)
    return [sentence(line) for line in told]


def _taken_together(trait: Trait) -> str:
    """Return to which side a trait comes; empty where it may lie in the middle."""
    if settled_side(trait) is None:
        return ""
    return _(_TAKEN_TOGETHER[trait.degree], trait=terms.colours_are(trait.side))


def _effects(did: Iterable[tuple[Sign, str]]) -> str:
    """Return what was seen, the commonest first: 'evened your cheeks and blended with your jaw'."""
    counted = Counter(did).most_common(2)
    return all_of([did_words(sign, place, _COLOURS) for (sign, place), _count in counted])


def _once(places: Counter[str]) -> str:
    where = _listed(places)
    if _named(places)[-1].endswith(FACE):
        return _("Once, over {places}, it was the other way round.", places=where)
    return _("Once, at {places}, it was the other way round.", places=where)


def _named(places: Counter[str]) -> list[str]:
    """Return where on the face, the commonest first; the face as a whole only where no part of it is named."""
    parts = [p for p, _count in places.most_common() if p not in (FACE, WHOLE_FACE)]
    return parts[:_MOST_PLACES] or [WHOLE_FACE if WHOLE_FACE in places else FACE]


def _listed(places: Counter[str]) -> str:
    return _("your {places}", places=all_of([terms.place(name) for name in _named(places)]))
