"""What the plan is measured against: a fixed trade sequence, counting votes, and pairs at random."""

from collections.abc import Iterable, Sequence

import numpy as np

from tenter import PairJudgement
from tenter.arrays import FloatArray, IntArray
from tenter.consultation.laid_out.bench import Bench

_OFF_AXIS = 0.7  # how much a difference on the other two axes spoils a test pair
_BANDS = ((0.6, 9.0), (-0.6, 0.6), (-9.0, -0.6))  # light, middle, dark, in bench units of depth
_UNDERTONE_PAIRS = (5, 5, 4)  # one for each band
_CLARITY_PAIRS, _DEPTH_PAIRS = 10, 8
FIXED_LENGTH = 40


def same_family_pairs(bench: Bench) -> IntArray:
    """Return all pairs (p, 2) of cloths of one hue family, metals left out."""
    first, second = np.triu_indices(len(bench.kit), 1)
    same = (bench.families[first] == bench.families[second]) & ~bench.metals[first] & ~bench.metals[second]
    return np.stack([first[same], second[same]], axis=1)


def fixed_sequence(bench: Bench) -> list[tuple[str, str]]:
    """Return the same comparisons for every client, built from the kit by the rules of a trade test set.

    Undertone pairs, light, middle and dark, in several hues; clarity pairs; depth pairs; then pairs across the border
    of each sub-season and its trait neighbour; filled up to forty with further undertone pairs. A pair differs on its
    own axis and as little as the kit allows on the others.
    """
    pairs = same_family_pairs(bench)
    mean_depth = bench.coordinates[pairs].mean(axis=1)[:, 1]
    chosen: list[int] = []
    for (low, high), count in zip(_BANDS, _UNDERTONE_PAIRS, strict=True):
        in_band = (mean_depth >= low) & (mean_depth < high)
        chosen += _best(bench, pairs, np.where(in_band, _purity(bench, pairs, 0), -np.inf), count, chosen)
    chosen += _best(bench, pairs, _purity(bench, pairs, 2), _CLARITY_PAIRS, chosen)
    chosen += _best(bench, pairs, _purity(bench, pairs, 1), _DEPTH_PAIRS, chosen)
    chosen += _cross_group(bench, pairs, FIXED_LENGTH - len(chosen), chosen)
    chosen += _best(bench, pairs, _purity(bench, pairs, 0), FIXED_LENGTH - len(chosen), chosen)
    named = [(bench.kit.ids[a], bench.kit.ids[b]) for a, b in pairs[chosen]]
    return [pair if i % 2 else pair[::-1] for i, pair in enumerate(named)]


def _purity(bench: Bench, pairs: IntArray, axis: int) -> FloatArray:
    apart = np.abs(bench.coordinates[pairs[:, 0]] - bench.coordinates[pairs[:, 1]])
    purity: FloatArray = apart[:, axis] * (1 + _OFF_AXIS) - _OFF_AXIS * apart.sum(axis=1)
    return purity


def _best(bench: Bench, pairs: IntArray, score: FloatArray, count: int, taken: Sequence[int]) -> list[int]:
    """Return the places of the best pairs, one a hue family before any family has two."""
    rounds: dict[int, int] = {}
    ranked = []
    for place in np.argsort(-score, kind="stable"):
        if place in taken or not np.isfinite(score[place]):
            continue
        family = int(bench.families[pairs[place, 0]])
        ranked.append((rounds.get(family, 0), -score[place], int(place)))
        rounds[family] = rounds.get(family, 0) + 1
    return [place for _, _, place in sorted(ranked)[:count]]


def _cross_group(bench: Bench, pairs: IntArray, count: int, taken: Sequence[int]) -> list[int]:
    """Return a pair for each sub-season and its trait neighbour: a typical cloth of each."""
    method = bench.method
    place = {name: i for i, name in enumerate(method.categories)}
    borders = dict.fromkeys(
        tuple(sorted((place[r.name], place[r.trait_neighbour]))) for r in method.regions if r.trait_neighbour
    )
    far = np.linalg.norm(bench.coordinates[:, None, :] - method.prototypes[None], axis=2)  # (cloths, categories)
    chosen: list[int] = []
    for one, other in borders:
        score = -np.minimum(
            far[pairs[:, 0], one] + far[pairs[:, 1], other], far[pairs[:, 1], one] + far[pairs[:, 0], other]
        )
        chosen += _best(bench, pairs, score, 1, [*taken, *chosen])
    return chosen[:count]


def random_pairs(bench: Bench, count: int, rng: np.random.Generator) -> list[tuple[str, str]]:
    """Return pairs of one hue family at random, none twice, sides at random."""
    pairs = same_family_pairs(bench)
    rows = rng.permuted(pairs[rng.choice(len(pairs), size=count, replace=False)], axis=1)
    return [(bench.kit.ids[a], bench.kit.ids[b]) for a, b in rows]


def votes(bench: Bench, judgements: Iterable[PairJudgement]) -> FloatArray:
    """Return the share of votes of each category (k,): every win is a vote for the cell that the winner lies in."""
    method = bench.method
    counted = np.zeros(len(method.categories))
    for judgement in judgements:
        for cloth in judgement.winner or ():
            counted[method.categories.index(method.category_at(bench.coordinates[bench.kit.row(cloth)]))] += 1
    share: FloatArray = counted / max(counted.sum(), 1)
    return share


def vote_checkpoints(
    bench: Bench, judgements: Sequence[PairJudgement], checkpoints: Sequence[int], rng: np.random.Generator
) -> FloatArray:
    """Return the votes after each checkpoint, shape (checkpoints, k); a tie is broken at random."""
    counted = [votes(bench, judgements[:n]) for n in checkpoints]
    return np.stack(counted) + rng.uniform(0, 1e-9, (len(checkpoints), len(bench.method.categories)))
