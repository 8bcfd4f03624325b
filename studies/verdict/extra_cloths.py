"""Which further cloths would help a kit most: the gain in expected information of the best pair they make possible."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from studies.clients.baselines import same_family_pairs
from studies.clients.simulation import simulated_kit
from studies.clients.trials import Setting, sitting_after, study_kit, study_method
from tenter import Kit
from tenter.arrays import BoolArray, FloatArray, IntArray
from tenter.colorimetry.measurement import D65_10
from tenter.consultation.laid_out.bench import Bench, bench_of
from tenter.consultation.reading.evidence import RESPONSES
from tenter.consultation.reading.plan import Planner
from tenter.inference.planning import exact_pair_information

CANDIDATES, AFTER = 150, 12
_MOST_CHROMA = 55.0  # ours: stronger cloths are hard to find in most hues
_NOTABLE = 0.5  # bench units from which a trait is named


@dataclass(frozen=True, slots=True)
class Cloth:
    """A cloth worth buying: its colour (Lab, D65/10°), plain words, and the mean gain in nats, with those before it."""

    lab: tuple[float, float, float]
    words: str
    gain: float
    share: float  # of the information that the best pair of the kit has


def with_candidates(kit: Kit, seed: int) -> Kit:
    """Return a kit followed by candidate cloths of real surface colours."""
    rng = np.random.default_rng([seed, 7])
    many = simulated_kit(2 * CANDIDATES, rng)
    rows = rng.permutation(np.flatnonzero(np.hypot(*many.lab.T[1:]) <= _MOST_CHROMA))[:CANDIDATES]
    lab = np.concatenate([kit.bench_colours.lab, many.lab[rows]])
    ids = [*kit.ids, *(f"new{i}" for i in range(CANDIDATES))]
    undertone = [*(d.undertone for d in kit.drapes), *[None] * CANDIDATES]
    families = [*kit.hue_families, *(many.hue_families[r] for r in rows)]
    return Kit.from_lab(ids, lab, families, illuminant="D65", observer=D65_10.observer, undertone=undertone)


def information_of_pairs(setting: Setting, index: int, seed: int) -> FloatArray:
    """Return the information about the category of every same-hue pair of kit and candidates, for one sitting.

    Pairs that the sitting has used up carry none.
    """
    sitting = sitting_after(setting, index, seed, AFTER)
    bench = _wider_bench(setting, seed)
    pairs = same_family_pairs(bench)
    planner = Planner(bench)
    frame, posterior = sitting.planning_frame, sitting.planning_posterior
    stand_ins, utility = planner.stand_ins(frame, posterior, frame.categories)
    noise, hidden = bench.pair_noise(pairs[:, 0], pairs[:, 1])
    found = [
        exact_pair_information(utility, stand_ins, noise[i : i + 200], pairs[i : i + 200], RESPONSES)
        for i in range(0, len(pairs), 200)
    ]
    information = np.concatenate(found) * (1 - hidden)
    left = {tuple(p) for p in Planner(sitting.bench).candidate_pairs(sitting.held)}
    count = len(sitting.kit)
    gone = np.array([bool(b < count and (a, b) not in left) for a, b in pairs])
    information[gone] = 0.0
    return information


def _wider_bench(setting: Setting, seed: int) -> Bench:
    key = (setting.kit, seed)
    if key not in _WIDER:
        _WIDER[key] = bench_of(with_candidates(study_kit(setting.kit, seed), seed), study_method())
    return _WIDER[key]


_WIDER: dict[tuple[str, int], Bench] = {}


def most_helpful(setting: Setting, seed: int, information: Sequence[FloatArray], count: int = 10) -> list[Cloth]:
    """Return the cloths that help most, greedily: each is chosen with the ones before it already in the kit."""
    bench = _wider_bench(setting, seed)
    pairs, told = same_family_pairs(bench), np.stack(information)  # (clients, pairs)
    size = len(bench.kit) - CANDIDATES
    kept = set(range(size))
    own = _usable(pairs, kept)
    best = told[:, own].max(axis=1)
    without = float(best.mean())
    chosen: list[Cloth] = []
    for _ in range(count):
        gains = {}
        for candidate in range(size, len(bench.kit)):
            if candidate not in kept:
                with_it = _usable(pairs, kept | {candidate}) & (pairs == candidate).any(axis=1)
                top = told[:, with_it].max(axis=1) if with_it.any() else np.zeros(len(best))
                gains[candidate] = np.maximum(top, best)
        pick = max(gains, key=lambda c: float(gains[c].mean()))
        gain = float(gains[pick].mean() - best.mean())
        best = gains[pick]
        kept.add(pick)
        L, a, b = (round(float(v), 1) for v in bench.kit.lab[pick])
        chosen.append(Cloth((L, a, b), in_words(bench, pick), gain, gain / without))
    return chosen


def _usable(pairs: IntArray, kept: set[int]) -> BoolArray:
    usable: BoolArray = np.isin(pairs, list(kept)).all(axis=1)
    return usable


def in_words(bench: Bench, row: int) -> str:
    """Return a cloth in the trade's words: undertone, depth, clarity and hue family, a middle one left unsaid."""
    words = []
    for value, low, high in zip(
        bench.coordinates[row], ("cool", "deep", "soft"), ("warm", "light", "bright"), strict=True
    ):
        if abs(value) >= _NOTABLE:
            words.append(high if value > 0 else low)
    return " ".join([*words, str(bench.kit.drapes[row].hue_family)])
