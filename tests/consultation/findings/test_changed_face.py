"""A face that changes during a sitting: found where it did, and not where it did not."""

from dataclasses import replace

import numpy as np
import pytest

from tenter import Answer, PairJudgement, Sitting
from tenter.consultation.axes import Axis
from tenter.consultation.findings.changed_face import change_of_face
from tenter.consultation.findings.diagnostics import CHANGED, Doubt, doubts
from tenter.consultation.words.odds_words import odds_word, one_lower
from tenter.report.words.doubts import doubt_words

MOVED = 2.0  # bench units: far enough that no sitting of this length misses it


def seen_on(demo_kit, method, ideals, seed=1):
    """Return a sitting answered without noise, each comparison by the ideal of its turn."""
    sitting = Sitting(demo_kit, method, seed=seed)
    for ideal in ideals:
        left, right = sitting.propose()
        x = sitting.bench.coordinates
        gained = [-float(np.sum((x[demo_kit.row(c)] - ideal) ** 2)) / 2 for c in (left, right)]
        apart = gained[0] - gained[1]
        answer = Answer.LEFT if apart > 0 else Answer.RIGHT
        sitting.record(PairJudgement(left, right, answer, strength=2 if abs(apart) > 1.2 else 1))
    return sitting


@pytest.fixture(scope="module")
def start():
    return np.array([0.2, 0.3, -0.2])


@pytest.mark.parametrize("axis", Axis)
@pytest.mark.parametrize("sign", [-1, 1])
def test_a_face_that_moved_along_an_axis_is_found_with_the_axis_and_the_way(demo_kit, bundled, start, axis, sign):
    later = start + sign * MOVED * np.eye(len(Axis))[axis.column]
    sitting = seen_on(demo_kit, bundled, [start] * 11 + [later] * 11)
    found = change_of_face(sitting)
    assert found.log_factor > CHANGED
    assert (found.axis, found.sign) == (axis, sign)


def test_a_face_that_stayed_is_not_called_changed(demo_kit, bundled, start):
    assert change_of_face(seen_on(demo_kit, bundled, [start] * 22)).log_factor < CHANGED


def test_a_few_answers_say_nothing_of_a_change(demo_kit, bundled, start):
    assert change_of_face(seen_on(demo_kit, bundled, [start] * 9)) is None


def test_a_changed_face_lowers_the_word_and_is_told_with_what_to_do(demo_kit, bundled, start):
    later = start + MOVED * np.eye(len(Axis))[Axis.DEPTH.column]
    verdict = seen_on(demo_kit, bundled, [start] * 11 + [later] * 11).verdict()
    assert Doubt.CHANGE in verdict.doubts
    assert verdict.odds_word is one_lower(odds_word(verdict.probability))
    told = " ".join(doubt_words(verdict))
    assert "a lighter client than the earlier ones" in told
    assert "Hold the first pair again" in told
    calm = replace(verdict.diagnostics, change=None)
    assert Doubt.CHANGE not in doubts(calm)
