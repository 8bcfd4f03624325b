"""Entries that the rest of the sitting speaks against, why that may be, and what to hold again."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from tenter.arrays import FloatArray, steady
from tenter.consultation.axes import Axis
from tenter.consultation.findings.diagnostics import surprises
from tenter.consultation.laid_out.bench import Bench
from tenter.consultation.laid_out.pair_quality import CLEAN_SHARE, is_brightened
from tenter.consultation.reading.evidence import differing_cloths, uses_metal
from tenter.consultation.reading.reading import Reading
from tenter.consultation.reading.weighing import split_findings
from tenter.consultation.record.history import Entry
from tenter.consultation.record.judgements import Judgement, PairJudgement
from tenter.consultation.words.answers import View
from tenter.consultation.words.flags import Sign

# Below this probability, given all other entries, an entry is held again. In simulation it finds about half of all
# slips with well under one false alarm a sitting (docs/how-it-works/model.md).
SURPRISE = 0.10
_METAL_SURE = 0.90  # how sure the cloths must be of the side before a metal on the other counts as contradicting


class ContradictionCause(StrEnum):
    """Why an entry may disagree with the rest."""

    REPEAT = "the same pair was answered differently on another showing"
    LIGHT = "the light was not the studio's"
    MIXED_PAIR = "the pair differs in more than one thing"
    HUE_FAMILY = "the hues differ, so liking one hue may have decided the answer"
    FLUSH = "the skin had not settled"
    SIDE = "the half-face views followed the side of the face, not the cloth"
    METAL = "metals confirm and do not decide, because shine can mislead"
    BRIGHTENER = "a brightened white changes with the ultraviolet in the light"
    ONE_COLOUR = "this hue may suit this face at another depth or clarity"
    SLIP = "a slip of the eye or of the key"


class ContradictionKind(StrEnum):
    """In which way an entry disagrees with the rest."""

    SURPRISE = "surprise"  # its outcome, or any rarer one, was improbable given all the others
    SIDE = "side"  # half-face views whose winner followed the side of the face: they count nothing
    METAL = "metal"  # a metal won on the side that the cloths are sure against


@dataclass(frozen=True, slots=True)
class Contradiction:
    """An entry that the others speak against.

    p: the probability of its outcome, or any rarer one, given all the others. causes: the likeliest first. repeat: the
    cloths of the pair to hold again; empty where there is none.
    """

    number: int
    kind: ContradictionKind
    p: float
    causes: tuple[ContradictionCause, ...]
    repeat: tuple[str, ...]


def contradictions(sitting: Reading, predicted: dict[int, FloatArray]) -> tuple[Contradiction, ...]:
    """Return the entries that the others speak against, in order.

    predicted: for each entry's number the chances (outcomes,) of its outcomes, as `diagnostics.predictions` gives them.
    """
    followed = {n for f in split_findings(sitting.evidence) if f.side_effect for n in f.numbers}
    against_metal = _metals_against_cloth(sitting)
    found = []
    by_number = {e.number: e for e in sitting.evidence}
    for number, p in surprises(predicted).items():
        if p < SURPRISE or number in followed or number in against_metal:
            entry = by_number[number]
            causes = likely_causes(sitting.bench, entry, sitting.evidence, number in followed)
            kind = (
                ContradictionKind.SIDE
                if number in followed
                else ContradictionKind.SURPRISE
                if p < SURPRISE
                else ContradictionKind.METAL
            )
            found.append(Contradiction(number, kind, p, causes, _repeat_of(entry.judgement)))
    return tuple(found)


def _metals_against_cloth(sitting: Reading) -> set[int]:
    """Return metal entries whose winner lies on the side that the cloths are sure against."""
    warm = float(sitting.planning_posterior.masses(sitting.bench.frame(sitting.styles).sides)[0])
    if max(warm, 1 - warm) < _METAL_SURE:
        return set()
    sign, found = (1 if warm > 0.5 else -1), set()
    for entry in sitting.evidence:
        judgement = entry.judgement
        if isinstance(judgement, PairJudgement) and judgement.winner and uses_metal(sitting.bench, judgement):
            left, right = (_undertone(sitting.bench, side) for side in differing_cloths(judgement))
            gained = left - right if judgement.winner == judgement.sides[0] else right - left
            if gained * sign < 0:
                found.add(entry.number)
    return found


def _undertone(bench: Bench, cloths: Sequence[str]) -> float:
    return float(np.mean([bench.coordinates[bench.kit.row(c), Axis.UNDERTONE.column] for c in cloths]))


def _repeat_of(judgement: Judgement) -> tuple[str, ...]:
    if isinstance(judgement, PairJudgement):
        return ("+".join(judgement.sides[1]), "+".join(judgement.sides[0]))  # sides exchanged
    return judgement.cloths


def likely_causes(
    bench: Bench, entry: Entry, others: Sequence[Entry], side_effect: bool
) -> tuple[ContradictionCause, ...]:
    """Return what may explain a contradicting entry, likeliest first: two causes at the least."""
    judgement = entry.judgement
    causes = []
    if side_effect or judgement.view is View.SPLIT:
        causes.append(ContradictionCause.SIDE)
    if judgement.view is View.PHOTOGRAPH:
        causes.append(ContradictionCause.LIGHT)
    if _answered_otherwise(entry, others):
        causes.append(ContradictionCause.REPEAT)
    if any(s.sign is Sign.BLOTCHY for s in judgement.signs):
        causes.append(ContradictionCause.FLUSH)
    if isinstance(judgement, PairJudgement):
        causes += _pair_causes(bench, judgement)
    return (*causes, ContradictionCause.SLIP, ContradictionCause.ONE_COLOUR)[: max(2, len(causes))]


def _answered_otherwise(entry: Entry, others: Sequence[Entry]) -> bool:
    judgement = entry.judgement
    return isinstance(judgement, PairJudgement) and any(
        isinstance(o.judgement, PairJudgement)
        and o.number != entry.number
        and o.judgement.pair == judgement.pair
        and o.judgement.winner != judgement.winner
        for o in others
    )


def _pair_causes(bench: Bench, judgement: PairJudgement) -> list[ContradictionCause]:
    left, right = differing_cloths(judgement)
    rows = [[bench.kit.row(c) for c in side] for side in (left, right)]
    causes = []
    if uses_metal(bench, judgement):
        causes.append(ContradictionCause.METAL)
    if {int(f) for f in bench.families[rows[0]]} != {int(f) for f in bench.families[rows[1]]}:
        causes.append(ContradictionCause.HUE_FAMILY)
    apart = (bench.coordinates[rows[0]].mean(axis=0) - bench.coordinates[rows[1]].mean(axis=0)) ** 2
    brightened = {is_brightened(bench, row) for side in rows for row in side}
    if steady(float(apart.max() - CLEAN_SHARE * apart.sum())) < 0 or len(brightened) == 2:
        causes.append(ContradictionCause.MIXED_PAIR)
    if True in brightened:
        causes.append(ContradictionCause.BRIGHTENER)
    return causes
