"""Two peers on the part of the work that each can do, on one core; run on its own, it prints its numbers as JSON.

adopy plans designs on a grid by information about the parameters; choix fits item strengths to comparisons. Neither is
needed to run Tenter: lock/bench.lock holds them for this study alone.
"""

import json
import os
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

os.environ["OMP_NUM_THREADS"] = "1"

import numpy as np
from scipy.special import ndtr
from scipy.stats import spearmanr

from studies.clients.baselines import same_family_pairs
from studies.clients.trials import Setting, client_judge, sitting_after, study_kit, study_method
from studies.verdict.speed import against_peer, milliseconds, peak_mb, use_one_core
from tenter import Answer, PairJudgement
from tenter.arrays import FloatArray
from tenter.consultation.laid_out.bench import bench_of

_SETTING = Setting("peers")
_NODES = 15  # on each axis: with every same-hue pair of 200 cloths this takes adopy some hundred MB
_CLIENTS, _ANSWERS = 20, 30


@dataclass(frozen=True, eq=False)
class GridPeer:
    """adopy set up on the study's kit. `step` takes in one answer and finds the next pair."""

    step: Callable[[], None]
    version: str
    note: str  # what had to be done to import it
    pairs: int
    set_up_s: float


def _import_adopy() -> tuple[Any, str]:
    """Return adopy and what had to be done to import it: "" if nothing."""
    try:
        import adopy  # noqa: PLC0415  # a peer that may be missing or broken
    except AttributeError as error:
        # adopy 0.4.1 names np.int and np.float, which NumPy dropped in 1.24; here the two aliases are lent to it.
        note = f"plain import fails ({str(error).splitlines()[0]}); timed with np.int and np.float lent to it"
        for name in [m for m in sys.modules if m.split(".")[0] == "adopy"]:
            del sys.modules[name]
        for name, kind in (("int", int), ("float", float)):
            setattr(np, name, kind)
        import adopy  # noqa: PLC0415

        return adopy, note
    return adopy, ""


def grid_peer(seed: int) -> GridPeer:
    """Set up adopy's design optimisation: two answers, one utility shape, one noise scale, a plain grid, flat prior."""
    adopy, note = _import_adopy()
    bench = bench_of(study_kit(_SETTING.kit, seed), study_method())
    pairs = same_family_pairs(bench)

    def log_likelihood(choice: FloatArray, pair: FloatArray, u: FloatArray, d: FloatArray, c: FloatArray) -> FloatArray:
        ideals = np.stack([u.ravel(), d.ravel(), c.ravel()], axis=1)
        utility = -0.5 * ((bench.coordinates[:, None, :] - ideals[None]) ** 2).sum(axis=2)
        first, second = pairs[pair.ravel().astype(int)].T
        better = 0.97 * ndtr(utility[first] - utility[second]) + 0.015
        return np.log(np.where(choice == 1, better[:, :, None], 1 - better[:, :, None]))

    task = adopy.Task(name="pairs", designs=["pair"], responses=["choice"])
    model = adopy.Model(name="ideal point", task=task, params=["u", "d", "c"], func=log_likelihood)
    axis = np.linspace(-3.2, 3.2, _NODES)
    started = time.perf_counter()
    engine = adopy.Engine(
        task=task,
        model=model,
        grid_design={"pair": np.arange(len(pairs))},
        grid_param={"u": axis, "d": axis, "c": axis},
        grid_response={"choice": [0, 1]},
    )
    set_up = time.perf_counter() - started
    design = engine.get_design()

    def step() -> None:
        engine.update(design, {"choice": 1})
        engine.get_design()

    return GridPeer(step, adopy.__version__, note, len(pairs), set_up)


def adopy_numbers(seed: int) -> dict[str, Any]:
    """Time the peer's step, and hold Tenter's own work against it in the same process (`against_peer`)."""
    peer = grid_peer(seed)
    found = {
        "version": peer.version,
        "note": peer.note,
        "pairs": peer.pairs,
        "ideal_points": _NODES**3,
        "set_up_s": peer.set_up_s,
        "update_and_next_ms": milliseconds(peer.step, 5),
        "peak_mb": peak_mb(),
    }
    return {**found, "ratios": against_peer(peer.step, seed)}


def choix_numbers(seed: int) -> dict[str, Any]:
    """Time choix's fit of item strengths to the answers of planned sittings, and say how near it comes to the truth.

    Beside it, on the same answers, the expected utility of each cloth under Tenter's posterior.
    """
    import choix  # noqa: PLC0415  # a peer that may be missing

    times, theirs, ours, their_cell, our_cell = [], [], [], [], []
    for index in range(_CLIENTS):
        judge = client_judge(_SETTING, index, seed)
        sitting = sitting_after(_SETTING, index, seed, _ANSWERS)
        wins = [_win(sitting.kit.row, e.judgement) for e in sitting.entries]
        data = [w for w in wins if w is not None]
        started = time.perf_counter()
        strengths = choix.ilsr_pairwise(len(sitting.kit), data, alpha=0.01)
        times.append(time.perf_counter() - started)
        frame, posterior = sitting.planning_frame, sitting.planning_posterior
        expected = np.array(
            [float(posterior.expectation(frame.utility(np.array([row])))) for row in range(len(sitting.kit))]
        )
        theirs.append(spearmanr(strengths, judge.utilities).statistic)
        ours.append(spearmanr(expected, judge.utilities).statistic)
        truth = sitting.method.category_at(judge.theta)
        their_cell.append(sitting.method.category_at(sitting.bench.coordinates[int(np.argmax(strengths))]) == truth)
        stated = sitting.probabilities()
        our_cell.append(max(stated, key=lambda c: stated[c]) == truth)
    return {
        "fit_ms": 1000 * float(np.median(times)),
        "clients": _CLIENTS,
        "answers": _ANSWERS,
        "rank_correlation": float(np.mean(theirs)),
        "rank_correlation_tenter": float(np.mean(ours)),
        "category_of_strongest_cloth": float(np.mean(their_cell)),
        "category_tenter": float(np.mean(our_cell)),
    }


def _win(row: Any, judgement: object) -> tuple[int, int] | None:
    """Return (winner, loser) as rows, or None for an equal answer, which choix has no word for."""
    if not isinstance(judgement, PairJudgement) or judgement.answer.is_equal:
        return None
    left, right = row(judgement.sides[0][0]), row(judgement.sides[1][0])
    return (left, right) if judgement.answer is Answer.LEFT else (right, left)


def peer_lines(peers: dict[str, dict[str, Any]]) -> list[str]:
    """Return what is printed of the peers, with what they do not do."""
    lines = ["", "PEERS in the same run, on one core"]
    adopy, choix = peers["adopy"], peers["choix"]
    if "failed" in adopy:
        lines.append(f"  adopy: {adopy['failed']}")
    else:
        lines += [
            f"  adopy {adopy['version']}: {adopy['pairs']} pairs x {adopy['ideal_points']} ideal points x 2 answers:",
            f"    set up {adopy['set_up_s']:.1f} s, update with next design {adopy['update_and_next_ms']:.0f} ms, "
            f"peak {adopy['peak_mb']:.0f} MB",
            f"    processor time in alternation: its step {_shown(adopy, 'peer_ms')}; Tenter's record with next pair "
            f"{_shown(adopy, 'record_and_next_ms')},",
            f"    verdict with reasons {_shown(adopy, 'verdict_20_ms')} after 20 entries and "
            f"{_shown(adopy, 'verdict_40_ms')} after 40",
            "    plans for the parameters, not for a class; holds every design x parameter x answer in memory, so no",
            "    shapes, styles or five grades at this size; no phases, reuse limits, fans, flags, undo or reasons",
        ]
        if adopy["note"]:
            lines.append(f"    {adopy['note']}")
    if "failed" in choix:
        lines.append(f"  choix: {choix['failed']}")
    else:
        lines += [
            f"  choix: fit of item strengths to {choix['answers']} answers: {choix['fit_ms']:.1f} ms;",
            f"    rank correlation with the true utilities {choix['rank_correlation']:.2f} "
            f"(Tenter {choix['rank_correlation_tenter']:.2f}); cell of the strongest cloth is the client's "
            f"{choix['category_of_strongest_cloth']:.2f} (Tenter's verdict {choix['category_tenter']:.2f})",
            "    knows no colour, so an unheld cloth gets no strength; no class probabilities, equal answers, grades,",
            "    noise or lapses, and no next comparison",
        ]
    return lines


def _shown(adopy: dict[str, Any], name: str) -> str:
    return f"{adopy['ratios'][name]:.0f} ms"


if __name__ == "__main__":
    use_one_core()
    numbers = {"adopy": adopy_numbers, "choix": choix_numbers}[sys.argv[2]]
    print(json.dumps(numbers(int(sys.argv[1]))))
