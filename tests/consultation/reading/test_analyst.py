"""What one sitting says of how its analyst answers."""

from dataclasses import replace

import numpy as np
import pytest

from tenter import Answer, Kit, Method, PairJudgement, Sitting
from tenter.consultation.reading.analyst import style_evidence
from tenter.inference.style_learning import FINE_STYLES, StyleEvidence, learned_style


def sat(strength: int, *, consistent: bool = True) -> Sitting:
    """Return a sitting whose analyst takes the warmer cloth of every pair, or a side by turns."""
    sitting = Sitting(Kit.demo(), Method.bundled(), seed=3)
    bench = sitting.bench
    for n in range(16):
        left, right = sitting.propose()
        warmer = bench.coordinates[bench.kit.row(left), 0] > bench.coordinates[bench.kit.row(right), 0]
        first = warmer if consistent else n % 2 == 0
        sitting.record(PairJudgement(left, right, Answer.LEFT if first else Answer.RIGHT, strength=strength))
    return sitting


def mean_of(evidence: StyleEvidence | None, scales: tuple[float, ...]) -> float:
    assert evidence is not None
    weights = np.exp(evidence.log_likelihoods)
    return float(weights @ np.log(scales) / weights.sum())


def test_answers_that_agree_speak_for_less_noise_than_answers_by_turns() -> None:
    steady, turning = style_evidence(sat(1)), style_evidence(sat(1, consistent=False))
    assert mean_of(steady, FINE_STYLES.sigmas) < mean_of(turning, FINE_STYLES.sigmas) - 0.05


def test_calling_much_at_everything_speaks_for_cut_points_nearer_together() -> None:
    slight, much = style_evidence(sat(1)), style_evidence(sat(2))
    assert mean_of(much, FINE_STYLES.cut_scales) < mean_of(slight, FINE_STYLES.cut_scales) - 0.05


def test_a_few_answers_teach_nothing() -> None:
    sitting = Sitting(Kit.demo(), Method.bundled(), seed=3)
    for _ in range(7):
        sitting.record(PairJudgement(*sitting.propose(), Answer.LEFT))
    assert style_evidence(sitting) is None


def test_what_was_learned_narrows_a_sitting_of_a_steady_analyst() -> None:
    evidence = style_evidence(sat(1))
    assert evidence is not None
    quiet = learned_style({str(i): replace(evidence) for i in range(30)})
    new = sat(1)
    known = Sitting(new.kit, new.method, seed=3, analyst_prior=quiet.styles)
    known.record_all(e.judgement for e in new.entries)
    assert quiet.noise < 1
    assert max(known.probabilities().values()) == pytest.approx(max(new.probabilities().values()), abs=0.25)
    assert known.probabilities() != new.probabilities()
