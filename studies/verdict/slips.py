"""How often an answer planted the wrong way round is found: part `slips` of ./run bench verdict.

Beside what Tenter says stands a bound: one who knows the client's ideal, the shape and the noise, and calls as many
honest answers wrong. No reading of the answers alone can beat that, whatever its limit.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from studies.clients.simulation import Judge
from studies.clients.targets import Target, at_least, at_most
from studies.clients.trials import Setting, client_judge
from tenter import Answer, PairJudgement, Sitting
from tenter.arrays import FloatArray
from tenter.consultation.findings.contradictions import SURPRISE
from tenter.consultation.findings.diagnostics import predictions, surprises
from tenter.inference.likelihood import grade_probabilities

COMPARISONS = 20
SETTING = Setting("slips", "demo")
_OPPOSITE = {Answer.LEFT: Answer.RIGHT, Answer.RIGHT: Answer.LEFT}


@dataclass(frozen=True)
class Planted:
    """One sitting with one answer turned round: how surprising each entry is, to Tenter and to one who knows."""

    told: FloatArray  # (n,), the planted one first
    known: FloatArray


def planted(index: int, seed: int) -> Planted | None:
    """Return one sitting with an answer turned round; None where nothing was won in it."""
    judge = client_judge(SETTING, index, seed)
    judge = replace(judge, responses=replace(judge.responses, lapse=0.0))  # the planted slip is the only one
    sitting, rng = Sitting(judge.bench.kit, judge.bench.method, seed=seed + index), np.random.default_rng([seed, index])
    for _ in range(COMPARISONS):
        sitting.record(judge.judge(*sitting.propose()))
    answers = [e.judgement for e in sitting.entries if isinstance(e.judgement, PairJudgement)]
    won = [n for n, one in enumerate(answers) if one.answer in _OPPOSITE]
    if not won:
        return None
    place = int(rng.choice(won))
    answers[place] = replace(answers[place], answer=_OPPOSITE[answers[place].answer])
    read = Sitting(sitting.kit, sitting.method, seed=seed + index).record_all(answers)
    told = np.array(list(surprises(predictions(read)).values()))
    known = np.array([_known_surprise(judge, one) for one in answers])
    order = [place, *(n for n in range(len(answers)) if n != place)]
    return Planted(told[order], known[order])


def _known_surprise(judge: Judge, answer: PairJudgement) -> float:
    """Return the probability of an answer's side, or any rarer one, for one who knows the client and the analyst."""
    rows = [judge.bench.kit.row(cloth) for cloth in answer.cloths]
    noise, hidden = judge.bench.pair_noise(np.array(rows[:1]), np.array(rows[1:]))
    apart = np.array(judge.utilities[rows[0]] - judge.utilities[rows[1]])
    grades = grade_probabilities(apart, judge.sigma * noise[0], judge.responses) * (1 - hidden[0])
    right, equal, left = float(grades[:2].sum()), float(grades[2]) + float(hidden[0]), float(grades[3:].sum())
    came = {Answer.LEFT: left, Answer.RIGHT: right}.get(answer.answer, equal)
    return sum(p for p in (left, right, equal) if p <= came + 1e-12)


def slips_table(found: Sequence[Planted]) -> list[str]:
    """Return what is found, at what price, and what one who knows would find at the same price."""
    share, alarms, bound = slips_found(found)
    return [
        f"\nSLIPS: one answer in {COMPARISONS} turned round, {len(found)} sittings with the demo kit",
        f"  found {share:.0%}, other entries called doubtful {alarms:.2f} a sitting",
        f"  one who knows ideal, shape and noise, at as many of them: {bound:.0%}",
    ]


def slips_found(found: Sequence[Planted]) -> tuple[float, float, float]:
    """Return the share of planted answers found, other entries doubted a sitting, and the bound on the share."""
    share = float(np.mean([one.told[0] < SURPRISE for one in found]))
    alarms = float(np.mean([(one.told[1:] < SURPRISE).sum() for one in found]))
    others = np.sort(np.concatenate([one.known[1:] for one in found]))
    limit = others[min(round(alarms * len(found)), len(others) - 1)]
    return share, alarms, float(np.mean([one.known[0] < limit for one in found]))


def slips_targets(found: Sequence[Planted]) -> list[Target]:
    """Return what is wanted: nine tenths of what one who knows would find."""
    share, alarms, bound = slips_found(found)
    return [
        at_least("answers turned round that are found", 100 * share, 90 * bound, "%"),
        at_most("other entries called doubtful, a sitting", alarms, 1.0),
    ]
