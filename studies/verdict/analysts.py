"""What is won by knowing how an analyst answers: part `analyst` of ./run bench verdict.

Analysts with quiet, usual and noisy eyes. Each has sat thirty times; the same further clients are then read as by
somebody new, and with what the thirty sittings taught. Noise differs a little from sitting to sitting.
"""

from collections.abc import Sequence
from dataclasses import asdict, dataclass, replace
from typing import Any

import numpy as np

from studies.clients.scoring import Share, calibration_error, reach
from studies.clients.simulation import Judge
from studies.clients.targets import Target, at_least, at_most
from studies.clients.trials import Client, Setting, client_judge, planned, study_method
from tenter import NothingToPropose, Sitting
from tenter.consultation.reading.analyst import style_evidence
from tenter.inference.lattice import Styles
from tenter.inference.style_learning import LearnedStyle, StyleEvidence, learned_style

EARLIER, COMPARISONS = 30, 20
SETTING = Setting("analyst")
ARMS = NEW, KNOWN = "new", "known"
_SCATTER = 0.1  # of the logarithm of the noise, from sitting to sitting


@dataclass(frozen=True, slots=True)
class Eyes:
    """How an invented analyst answers: her noise, and the scale of her cut points."""

    name: str
    sigma: float
    cut_scale: float


EYES = (Eyes("quiet", 0.7, 0.85), Eyes("usual", 1.0, 1.0), Eyes("noisy", 1.4, 1.15))


def _judge(eyes: Eyes, index: int, seed: int) -> Judge:
    judge = client_judge(SETTING, index, seed)
    rng = np.random.default_rng([seed, index, 11])
    responses = replace(
        judge.responses,
        equal_cut=judge.responses.equal_cut * eyes.cut_scale,
        much_cut=judge.responses.much_cut * eyes.cut_scale,
    )
    return replace(judge, sigma=eyes.sigma * float(np.exp(rng.normal(0, _SCATTER))), responses=responses)


def earlier_sitting(eyes: Eyes, index: int, seed: int) -> StyleEvidence | None:
    """Return what one earlier sitting of an analyst, with another client, says of how she answers."""
    judge = _judge(eyes, 10_000 + index, seed)
    sitting = Sitting(judge.bench.kit, judge.bench.method, seed=seed + index)
    for _ in range(COMPARISONS):
        try:
            sitting.record(judge.judge(*sitting.propose()))
        except NothingToPropose:
            break
    return style_evidence(sitting)


def known_client(eyes: Eyes, styles: Styles, index: int, seed: int) -> Client:
    """Return one client read as by somebody new, and with what is known of the analyst."""
    judge = _judge(eyes, index, seed)
    method = judge.bench.method
    truth = method.category_at(judge.theta)
    arms = {}
    for arm, prior in ((NEW, None), (KNOWN, styles)):
        sitting = Sitting(judge.bench.kit, method, seed=seed + index, analyst_prior=prior)
        answering = replace(judge, rng=np.random.default_rng([seed, index, 12]))
        arms[arm] = planned(sitting, answering, truth)
    return Client(judge.theta, truth, 0.0, judge.sigma, arms)


def learned_from(found: Sequence[StyleEvidence | None]) -> LearnedStyle:
    """Return what earlier sittings taught."""
    return learned_style({str(i): one for i, one in enumerate(found) if one is not None})


@dataclass(frozen=True)
class Known:
    """What one arm came to for some clients."""

    clients: int
    reached: Share
    right: Share
    median: float
    error_at_12: float
    firm_gap: float  # share right less mean stated, at the first crossing of 90 %
    right_at_12: Share
    right_at_20: Share

    def plain(self) -> dict[str, Any]:
        return asdict(self)


def known(clients: Sequence[Client], arm: str) -> Known:
    """Return what an arm came to."""
    method = study_method()
    outcomes = [c.arms[arm] for c in clients]
    truth = np.array([method.categories.index(c.truth) for c in clients])
    found = reach(clients, arm)
    read = {n: np.stack([o.probabilities[o.at.index(n)] for o in outcomes]) for n in (12, 20)}
    right = {n: p.argmax(axis=1) == truth for n, p in read.items()}
    stated = [o.stated_then for o in outcomes if o.stated_then is not None]
    return Known(
        clients=len(clients),
        reached=found.share,
        right=found.right,
        median=found.median,
        error_at_12=calibration_error(read[12].max(axis=1), right[12]),
        firm_gap=found.right.value - float(np.mean(stated)) if stated else float("nan"),
        right_at_12=Share.of(right[12]),
        right_at_20=Share.of(right[20]),
    )


def analysts_table(learned: dict[str, LearnedStyle], clients: dict[str, list[Client]]) -> list[str]:
    """Return the printed table: each analyst, then all together."""
    lines = [f"\nANALYSTS with {EARLIER} earlier sittings of {COMPARISONS} comparisons, beside the same ones when new"]
    for eyes in EYES:
        told = learned[eyes.name]
        lines.append(
            f"  {eyes.name:6s} true noise {eyes.sigma:.2f}, cuts {eyes.cut_scale:.2f}; "
            f"learned from {told.sittings}: noise {told.noise:.2f}, cuts {told.cuts:.2f}"
        )
    for name, some in (*clients.items(), ("all", [c for group in clients.values() for c in group])):
        for arm in ARMS:
            k = known(some, arm)
            lines.append(
                f"  {name:6s} {arm:5s} n {k.clients:3d}  reached 90 % by 30 {k.reached}, median {k.median:4g}, "
                f"right then {k.right}, less stated {k.firm_gap:+.3f}; ECE at 12 {k.error_at_12:.3f}; "
                f"sub-season right after 12 {k.right_at_12}, after 20 {k.right_at_20}"
            )
    return lines


def analysts_targets(clients: dict[str, list[Client]]) -> list[Target]:
    """Return what is wanted of an analyst who is known, over all eyes."""
    every = [c for group in clients.values() for c in group]
    one = known(every, KNOWN)
    return [
        at_least("known analyst: clients that reach 90 % by 30", one.reached.value, 0.82),
        at_most("known analyst: median comparisons to 90 %", one.median, 11),
        at_most("known analyst: ECE after 12", one.error_at_12, 0.05),
        at_most("known analyst: |right less stated| when first at 90 %", abs(one.firm_gap), 0.03),
    ]
