"""Stated probabilities against slow quadrature: a uniform grid of 97³ ideal points, every formula written out anew.

What the two share is the method's data: coordinates, prototypes, styles of answering and `Bench.pair_noise`. The grid,
the prior, the utilities, the likelihoods, the weights of split views and the cell membership are this module's own.
Metals, combinations, unmeasured cloths and garments are not in the trial sittings.
"""

import itertools
from collections.abc import Callable
from functools import cache
from math import factorial

import numpy as np
from scipy.special import logsumexp, ndtr

from studies.clients.simulation import Judge
from studies.clients.trials import Setting, client_judge, study_method
from tenter import Answer, DrapeJudgement, FanJudgement, PairJudgement, Sitting, View
from tenter.arrays import AnyArray, FloatArray
from tenter.consultation.record.judgements import Judgement
from tenter.consultation.words.flags import parse_flag

NODES = 97
_REACH, _SPREAD, _LAPSE = 3.2, 0.55, 0.03
_CUTS = (-1.2, -0.35, 0.35, 1.2)
_SIZES = (10, 30)
_AXIS = np.linspace(-_REACH, _REACH, NODES)


def mixed_sitting(setting: Setting, index: int, seed: int) -> Sitting:
    """Return a sitting of 10 to 30 entries of every kind: pairs with remarks, split views, single cloths, fans."""
    judge = client_judge(setting, index, seed)
    sitting = Sitting(judge.bench.kit, judge.bench.method, seed=seed + index)
    rng = np.random.default_rng([seed, index, 3])
    for _ in range(int(rng.integers(_SIZES[0], _SIZES[1] + 1))):
        left, right = sitting.propose()
        kind = rng.choice(["pair", "flagged", "split", "single", "fan"], p=[0.4, 0.15, 0.2, 0.1, 0.15])
        sitting.record(_entry(judge, sitting, str(kind), left, right, rng))
    return sitting


def _entry(judge: Judge, sitting: Sitting, kind: str, left: str, right: str, rng: np.random.Generator) -> Judgement:
    if kind == "single":
        return judge.suits(left)
    if kind == "fan":
        return judge.rank(sitting.propose_fan() or [str(d) for d in rng.choice(sitting.kit.ids, 3, replace=False)])
    if kind == "split":
        before = [e.judgement for e in sitting.entries if e.judgement.view is View.SPLIT]
        last = before[-1] if before and rng.random() < 0.5 else None
        if isinstance(last, PairJudgement):
            left, right = last.sides[1][0], last.sides[0][0]
        told = judge.judge(left, right)
        return PairJudgement(left, right, told.answer, told.strength, view=View.SPLIT)
    told = judge.judge(left, right)
    flags = (parse_flag(judge.flag(left)),) if kind == "flagged" else ()
    return PairJudgement(left, right, told.answer, told.strength, flags=flags)


def largest_difference(setting: Setting, index: int, seed: int) -> tuple[int, float, float]:
    """Return entries, and the largest and mean |difference| over categories, of one mixed sitting."""
    sitting = mixed_sitting(setting, index, seed)
    stated = np.array(list(sitting.probabilities().values()))
    apart = np.abs(stated - exact_probabilities(sitting))
    return len(sitting.entries), float(apart.max()), float(apart.mean())


def exact_probabilities(sitting: Sitting) -> FloatArray:
    """Return the probability of each category by a sum over the whole uniform grid, one slab at a time."""
    weights = _entry_weights(sitting)
    logs = [_log_of_ideal(sitting, _slab(u), weights) for u in _AXIS]
    top = max(log.max() for log in logs)
    mass = np.sum([part @ np.exp(log - top) for part, log in zip(_membership(), logs, strict=True)], axis=0)
    probabilities: FloatArray = mass / mass.sum()
    return probabilities


def _slab(undertone: float) -> FloatArray:
    return np.stack([g.ravel() for g in np.meshgrid([undertone], _AXIS, _AXIS, indexing="ij")], axis=1)


@cache
def _membership() -> list[AnyArray]:
    """Return, slab by slab, the share of each node's cube that lies in each cell (k, m), by 4³ points inside it."""
    prototypes = study_method().prototypes
    squares, columns = (prototypes**2).sum(axis=1), np.arange(NODES**2)
    shares = []
    for u in _AXIS:
        share = np.zeros((len(prototypes), NODES**2), np.float32)
        for offset in itertools.product((-0.375, -0.125, 0.125, 0.375), repeat=3):
            points = _slab(u) + (_AXIS[1] - _AXIS[0]) * np.array(offset)
            share[np.argmin(squares - 2 * points @ prototypes.T, axis=1), columns] += 1 / 64
        shares.append(share)
    return shares


def _log_of_ideal(sitting: Sitting, theta: FloatArray, weights: dict[int, float]) -> FloatArray:
    squares = ((theta[:, None, :] - sitting.method.prototypes[None]) ** 2).sum(axis=2)
    log_prior = logsumexp(-squares / (2 * _SPREAD**2), axis=1)
    styles = sitting.styles
    total = []
    for utility, share in _shapes(theta, sitting.bench.coordinates):
        for sigma, scale, weight in zip(styles.sigmas, styles.cut_scales, styles.weights, strict=True):
            told = np.full(len(theta), weight * share)
            for entry in sitting.evidence:
                if weights[entry.number]:
                    told *= _likelihood(sitting, entry.judgement, utility, sigma, scale, theta) ** weights[entry.number]
            total.append(log_prior + np.log(told))
    log_p: FloatArray = logsumexp(total, axis=0)
    return log_p


def _shapes(theta: FloatArray, stimuli: FloatArray) -> list[tuple[Callable[[int], FloatArray], float]]:
    """Return each shape's utility of a row, and its share of the prior up to a constant."""
    kept: dict[tuple[str, int], FloatArray] = {}

    def squares(row: int) -> FloatArray:
        return ((stimuli[row] - theta) ** 2).sum(axis=1)

    def leading(axis: int) -> Callable[[int], FloatArray]:
        weights = [1.6 if column == axis else 0.7 for column in range(3)]
        return lambda row: -0.5 * ((stimuli[row] - theta) ** 2) @ np.array(weights)

    forms: dict[str, Callable[[int], FloatArray]] = {
        "quadratic": lambda row: -0.5 * squares(row),
        "city": lambda row: -0.9 * np.abs(stimuli[row] - theta).sum(axis=1),
        "saturating": lambda row: -2.5 * (1 - np.exp(-squares(row) / 4)),
        **{f"leading {axis}": leading(axis) for axis in range(3)},
    }
    shares = {"quadratic": 2.0, "city": 1.0, "saturating": 2.0}

    def held(name: str) -> Callable[[int], FloatArray]:
        def utility(row: int) -> FloatArray:
            if (name, row) not in kept:
                kept[name, row] = forms[name](row)
            return kept[name, row]

        return utility

    return [(held(name), shares.get(name, 0.5)) for name in forms]


def _likelihood(
    sitting: Sitting,
    judgement: Judgement,
    utility: Callable[[int], FloatArray],
    sigma: float,
    scale: float,
    theta: FloatArray,
) -> FloatArray:
    row = sitting.kit.row
    if isinstance(judgement, PairJudgement):
        p = _pair(sitting, judgement, utility, sigma, scale)
    elif isinstance(judgement, FanJudgement):
        rows = [row(c) for c in judgement.cloths]
        ends = np.array(list(itertools.combinations(rows, 2)))
        noise = float(sitting.bench.pair_noise(ends[:, 0], ends[:, 1])[0].mean())
        p = _plackett_luce([utility(r) for r in rows], sigma * noise)
    else:
        assert isinstance(judgement, DrapeJudgement)
        u = utility(row(judgement.cloths[0]))
        works, fails = ndtr((u + 1) / sigma), ndtr((-3 - u) / sigma)
        chance = {"works": works, "fails": fails, "tolerable": np.maximum(1 - works - fails, 0)}[judgement.suits]
        p = (1 - _LAPSE) * chance + _LAPSE / 3
    for flagged in judgement.flags:
        column = flagged.flag.axis.column
        offset = sitting.bench.coordinates[row(flagged.drape), column] - theta[:, column]
        high, low = ndtr((offset - 0.4) / 0.9), ndtr((-offset - 0.4) / 0.9)
        chance = (1 - high - low, high, low)[flagged.flag.direction]
        p = p * ((1 - _LAPSE) * chance + _LAPSE / 3)
    return p


def _pair(
    sitting: Sitting, judgement: PairJudgement, utility: Callable[[int], FloatArray], sigma: float, scale: float
) -> FloatArray:
    left, right = (sitting.kit.row(side[0]) for side in judgement.sides)
    noise, hidden = (float(v[0]) for v in sitting.bench.pair_noise(np.array([left]), np.array([right])))
    a, b = utility(left), utility(right)
    much = judgement.strength >= 2
    grade = {Answer.LEFT: 4 if much else 3, Answer.RIGHT: 0 if much else 1}.get(judgement.answer, 2)
    upper = 1.0 if grade == 4 else ndtr((_CUTS[grade] * scale - (a - b)) / (sigma * noise))
    lower = 0.0 if grade == 0 else ndtr((_CUTS[grade - 1] * scale - (a - b)) / (sigma * noise))
    p = (1 - hidden) * ((1 - _LAPSE) * (upper - lower) + _LAPSE / 5)
    if grade == 2:
        mean = (a + b) / 2
        good, wrong = 0.4 * ndtr(mean + 1), 0.4 * ndtr(-3 - mean)
        said = {Answer.BOTH_GOOD: good, Answer.BOTH_WRONG: wrong}.get(judgement.answer, 1 - good - wrong)
        p = p * ((1 - _LAPSE) * said + _LAPSE / 3)
    return p + hidden if judgement.answer is Answer.NOTHING_SEEN else p


def _plackett_luce(best_first: list[FloatArray], sigma: float) -> FloatArray:
    worth = np.exp(np.array(best_first) * np.pi / (np.sqrt(3) * sigma))
    p = np.ones_like(worth[0])
    for place in range(len(worth) - 1):
        p = p * worth[place] / worth[place:].sum(axis=0)
    return (1 - _LAPSE) * p + _LAPSE / factorial(len(worth))


def _entry_weights(sitting: Sitting) -> dict[int, float]:
    """Return 1, or for split views ½ until exchanged and 0 where the winner followed the side of the face."""
    weights = {e.number: 1.0 for e in sitting.evidence}
    split: dict[frozenset[str], list[tuple[int, PairJudgement]]] = {}
    for entry in sitting.evidence:
        if isinstance(entry.judgement, PairJudgement) and entry.judgement.view is View.SPLIT:
            split.setdefault(frozenset(entry.judgement.cloths), []).append((entry.number, entry.judgement))
    for seen in split.values():
        both_ways = len({judgement.left for _, judgement in seen}) == 2
        answers = {judgement.answer for _, judgement in seen}
        side = both_ways and len(answers) == 1 and answers <= {Answer.LEFT, Answer.RIGHT}
        weights |= dict.fromkeys([number for number, _ in seen], 0.0 if side else 1.0 if both_ways else 0.5)
    return weights
