"""What earlier sittings teach about a person's answers: laws of the hierarchical model."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from tenter.errors import TenterError
from tenter.inference.lattice import Styles
from tenter.inference.style_learning import FINE_STYLES, StyleEvidence, learned_style


def about(noise: float, cuts: float, sharpness: float = 2.0) -> StyleEvidence:
    """Return a sitting whose answers speak for a noise and a scale of the cut points."""
    places = np.log(np.array([FINE_STYLES.sigmas, FINE_STYLES.cut_scales]).T)
    squares = np.sum((places - np.log([noise, cuts])) ** 2, axis=1)
    return StyleEvidence(tuple(float(v) for v in -sharpness * squares))


SILENT = StyleEvidence((0.0,) * len(FINE_STYLES.weights))


def test_somebody_new_answers_as_the_usual_styles() -> None:
    assert learned_style({}).styles == Styles()


def test_sittings_that_say_nothing_leave_the_usual_styles() -> None:
    learned = learned_style({str(i): SILENT for i in range(30)})
    assert_allclose(learned.styles.sigmas, Styles().sigmas, rtol=1e-9)
    assert_allclose(learned.styles.cut_scales, Styles().cut_scales, rtol=1e-9)


@pytest.mark.parametrize(("noise", "cuts"), [(0.6, 0.8), (0.6, 1.3), (1.6, 0.8), (1.6, 1.3)])
def test_many_sittings_teach_noise_and_cut_points(noise: float, cuts: float) -> None:
    learned = learned_style({str(i): about(noise, cuts) for i in range(40)})
    assert_allclose([learned.noise, learned.cuts], [noise, cuts], rtol=0.12)


def test_one_sitting_teaches_less_than_ten_and_ten_less_than_forty() -> None:
    noises = [learned_style({str(i): about(0.6, 1.0) for i in range(count)}).noise for count in (0, 1, 10, 40)]
    assert noises == sorted(noises, reverse=True)
    assert noises[1] > 0.85, "a single sitting moves a new analyst little"


def test_what_is_learned_is_held_more_surely_and_never_as_certain() -> None:
    learned = learned_style({str(i): about(1.0, 1.0) for i in range(40)}).styles
    spread, usual = (np.ptp(np.log(s.sigmas)) for s in (learned, Styles()))
    assert 0.4 * usual < spread < 0.8 * usual


def test_the_order_of_sittings_changes_not_a_bit() -> None:
    rng = np.random.default_rng(3)
    sittings = {str(i): about(*np.exp(rng.normal(0, 0.4, 2)), sharpness=rng.uniform(0.1, 9)) for i in range(25)}
    assert learned_style(sittings) == learned_style(dict(reversed(sittings.items())))


def test_the_styles_stay_four_so_that_a_sitting_costs_what_it_did() -> None:
    learned = learned_style({str(i): about(0.6, 0.8) for i in range(5)}).styles
    assert len(learned.weights) == len(Styles().weights)
    assert sum(learned.weights) == pytest.approx(1.0)


@pytest.mark.parametrize("values", [(), (0.0,), (float("nan"),) * len(FINE_STYLES.weights), "junk"])
def test_junk_is_refused(values: object) -> None:
    with pytest.raises(TenterError):
        StyleEvidence(values)  # type: ignore[arg-type]
