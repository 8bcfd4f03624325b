"""How much each entry weighs beside the others: split views, and metals that confirm but do not decide."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tenter.arrays import AnyArray, BoolArray, FloatArray
from tenter.consultation.record.history import Entry
from tenter.consultation.record.judgements import PairJudgement
from tenter.consultation.words.answers import Answer, View

# Common practice, no source: all metal answers together move the warm : cool odds by a factor of two at most.
_MOST_METAL_LOG_ODDS = float(np.log(2))
_MOST_STEPS, _SHARE_TOLERANCE = 60, 1e-9
_HALF = 0.5  # of a split view not yet exchanged, and of a photograph under lamps and cameras nobody has measured


@dataclass(frozen=True, slots=True)
class SplitFinding:
    """What the split views of one pair came to. `exchanged` is whether both ways round were seen."""

    numbers: tuple[int, ...]
    exchanged: bool
    side_effect: bool  # the winner followed the side of the face, not the cloth


def split_findings(entries: Sequence[Entry]) -> list[SplitFinding]:
    """Return what the standing split views say, one finding a pair."""
    groups: dict[frozenset[tuple[str, ...]], list[tuple[int, PairJudgement]]] = {}
    for entry in entries:
        judgement = entry.judgement
        if isinstance(judgement, PairJudgement) and judgement.view is View.SPLIT:
            groups.setdefault(judgement.pair, []).append((entry.number, judgement))
    findings = []
    for seen in groups.values():
        exchanged = len({j.sides[0] for _, j in seen}) == 2
        answers = {j.answer for _, j in seen}
        followed = exchanged and len(answers) == 1 and answers <= {Answer.LEFT, Answer.RIGHT}
        findings.append(SplitFinding(tuple(n for n, _ in seen), exchanged, followed))
    return findings


def entry_weights(entries: Sequence[Entry]) -> dict[int, float]:
    """Return the weight of each entry's log likelihood, 0 to 1, by entry number.

    A split view counts half until its sides have been exchanged; where the winner followed the side of the face, the
    views of that pair count nothing. A photograph counts half. The halves are ours.
    """
    weights = {e.number: _HALF if e.judgement.view is View.PHOTOGRAPH else 1.0 for e in entries}
    for finding in split_findings(entries):
        weight = 0.0 if finding.side_effect else 1.0 if finding.exchanged else _HALF
        weights |= dict.fromkeys(finding.numbers, weight)
    return weights


def metal_share(cloth: FloatArray, metal: FloatArray, sides: FloatArray) -> float:
    """Return the share t, 0 to 1, of the metals' log likelihood that moves the warm : cool log odds by at most ln 2.

    That metals confirm and do not decide is common practice, no source; the limit of ln 2 is ours.

    Parameters
    ----------
    cloth, metal : ndarray, shape (m,)
        Log posterior of the cloths' evidence alone, and log likelihood of the metals.
    sides : ndarray, shape (2, m)
        How far each hypothesis is warm, and cool.
    """
    weights = np.exp(cloth - cloth.max()) * sides
    centred = metal - metal.max()

    def odds(t: float) -> tuple[float, float]:
        """Return the log odds at a share, and their slope: the difference of the metals' mean on the two sides."""
        tilted = np.exp(t * centred)
        warm, cool = weights @ tilted + np.finfo(float).tiny
        warm_slope, cool_slope = weights @ (tilted * centred)
        return float(np.log(warm) - np.log(cool)), float(warm_slope / warm - cool_slope / cool)

    before, slope = odds(0.0)
    if abs(odds(1.0)[0] - before) <= _MOST_METAL_LOG_ODDS:
        return 1.0
    low, high, share = 0.0, 1.0, _MOST_METAL_LOG_ODDS / max(abs(slope), _MOST_METAL_LOG_ODDS)
    for _ in range(_MOST_STEPS):  # Newton's steps, kept inside the interval that holds the answer
        now, slope = odds(share)
        excess = abs(now - before) - _MOST_METAL_LOG_ODDS
        if abs(excess) < _SHARE_TOLERANCE:
            break
        low, high = (share, high) if excess < 0 else (low, share)
        step = share - excess / abs(slope) if slope else low
        share = step if low < step < high else (low + high) / 2
    return share


def with_metals(cloth: FloatArray, metal: FloatArray, sides: FloatArray) -> FloatArray:
    """Return the log posterior (m,), up to a constant, of the cloths' evidence (m,) with the metals' (m,) capped.

    sides (2, m): how far each hypothesis is warm, and cool.
    """
    joint: FloatArray = cloth + metal_share(cloth, metal, sides) * metal
    return joint


def combine(
    prior: FloatArray, evidence: AnyArray, weights: FloatArray, is_metal: BoolArray, sides: FloatArray
) -> FloatArray:
    """Return the log posterior (m,), up to a constant, of weighted entries with the metals capped.

    Parameters
    ----------
    prior : ndarray, shape (m,)
    evidence : ndarray, shape (e, m)
        Log likelihood of each entry.
    weights, is_metal : ndarray, shape (e,)
    sides : ndarray, shape (2, m)
    """
    cloth = prior + (weights * ~is_metal) @ evidence
    if not np.any(weights[is_metal]):
        return cloth
    return with_metals(cloth, weights[is_metal] @ evidence[is_metal], sides)
