"""What a cloth adds to a kit: a second route to the information, and laws of doubles, empty places and order."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from tenter import Kit, Method
from tenter.colorimetry.real_surfaces import is_real_surface
from tenter.consultation.axes import Axis
from tenter.consultation.laid_out.bench import Bench, bench_of
from tenter.consultation.reading.evidence import RESPONSES
from tenter.consultation.worth.gain import CHOOSERS, WiderKit, gain_of
from tenter.consultation.worth.shopping import gap_gains, kit_worth
from tenter.consultation.worth.tried_sittings import CLIENTS, information, tried_sittings
from tenter.inference.planning import Representatives, exact_pair_information
from tests.consultation.worth.kits import kit_of_rows, shuffled

THREE = [(45, 50, 30), (60, -20, 5), (30, 5, -30)]


@pytest.fixture(scope="module")
def bench(demo_kit, bundled):
    return bench_of(demo_kit, bundled)


@pytest.fixture(scope="module")
def worth(bench):
    return kit_worth(bench)


def mean_gains(bench, kit, cloths):
    """Return what each of a kit's cloths would add to a bench."""
    rows = [kit.row(cloth) for cloth in cloths]
    tried = tried_sittings(bench)
    gained = WiderKit.of(tried, kit.bench_colours.lab[rows], [kit.drapes[row].hue_family for row in rows]).gains()
    assert gained.min(initial=0.0) >= 0
    return tried.by_client(gained).mean(axis=0)


# A second route: the planner's own sum over hypotheses, which works with normal integrals class by class.
def test_information_is_what_the_planner_works_out_of_the_same_hypotheses(bench):
    tried = tried_sittings(bench)
    few, weights = tried.hypotheses.every(8), np.random.default_rng(2).random((3, 500)).astype(np.float32)
    weights /= weights.sum(axis=1, keepdims=True)
    utilities = few.utilities(bench.coordinates)
    noise, hidden = bench.pair_noise(*tried.pairs.T)
    clear = hidden < 1e-9
    assert clear.sum() > 20
    found = information(few, bench, utilities, weights, tried.pairs)
    for own, told in zip(weights, found, strict=True):
        classes = np.eye(12)[few.categories].T * own
        stand_ins = Representatives(few.shapes, np.arange(500), few.sigmas, few.cut_scales, np.ones(500), classes)
        exact = exact_pair_information(utilities, stand_ins, noise, tried.pairs, RESPONSES)
        assert_allclose(told[clear], exact[clear], rtol=0, atol=2e-5)  # kept to five digits
        assert np.all(told <= exact + 2e-5)


def test_sittings_learn_and_never_hold_a_pair_twice_or_a_cloth_too_often(bench):
    tried = tried_sittings(bench)
    best = tried.best.reshape(4, CLIENTS)
    assert np.all(np.diff(best.mean(axis=1)) < 0)  # less is left to tell
    assert np.all(tried.seen.reshape(4, CLIENTS, -1).sum(axis=2) == np.array([0, 3, 6, 9])[:, None])
    assert np.all(tried.told[tried.seen] == 0)
    assert_allclose(tried.weights.sum(axis=1), 1, atol=1e-3)
    assert tried.learned.mean() > 0.1


def test_a_double_of_any_cloth_adds_nothing(bench, demo_kit):
    own = [d.id for d in demo_kit.drapes if d.undertone is None]
    assert mean_gains(bench, demo_kit, own).max() < 1e-4


def test_a_cloth_in_an_empty_place_adds_most(demo_kit, bundled):
    coordinates = bundled.coordinates(demo_kit)[:, Axis.UNDERTONE.column]
    cool = [i for i, d in enumerate(demo_kit.drapes) if coordinates[i] < -0.4 and not d.is_metal]
    warm = [i for i, d in enumerate(demo_kit.drapes) if coordinates[i] > 0.4 and not d.is_metal]
    without_cool = Bench.of(kit_of_rows(demo_kit, warm), bundled)
    near = Kit.from_lab(range(len(warm)), demo_kit.lab[warm] + [2.5, 0, 0], [demo_kit.hue_families[i] for i in warm])
    of_cool = mean_gains(without_cool, demo_kit, [demo_kit.ids[i] for i in cool])
    of_warm = mean_gains(without_cool, near, near.ids)
    assert of_cool.max() > 3 * of_warm.max()
    assert np.median(of_cool) > np.median(of_warm)


def test_what_is_to_be_bought_are_colours_of_surfaces_whose_gain_is_sure(worth):
    assert 1 <= len(worth.to_buy) <= 5
    assert is_real_surface([cloth.lab for cloth in worth.to_buy]).all()
    assert all(0 < cloth.gain.low < cloth.gain.nats < cloth.gain.high for cloth in worth.to_buy)
    assert all(cloth.words.endswith(f" {cloth.hue_family}") for cloth in worth.to_buy)
    assert len({cloth.lab for cloth in worth.to_buy}) == len(worth.to_buy)
    assert all(cloth.share == pytest.approx(cloth.gain.nats / worth.nats) for cloth in worth.to_buy)


def test_the_first_colour_adds_at_least_what_a_cloth_in_any_gap_does(worth, bench):
    assert worth.gaps == gap_gains(bench)
    assert max(found.gain.nats for found in worth.gaps) <= worth.to_buy[0].gain.nats


def test_a_kit_with_its_first_colour_bought_tells_more_and_lists_it_no_more(worth, demo_kit, bundled):
    bought = worth.to_buy[0]
    lab, families = np.vstack([demo_kit.lab, bought.lab]), [*demo_kit.hue_families, bought.hue_family]
    hand = {d.id: d.undertone for d in demo_kit.drapes if d.undertone is not None}
    more = Bench.of(Kit.from_lab([*demo_kit.ids, "NEW"], lab, families, undertone=hand), bundled)
    [again] = mean_gains(more, Kit.from_lab(["NEW"], [bought.lab], [bought.hue_family]), ["NEW"])
    assert again < 1e-4
    assert (
        tried_sittings(more).best[:CLIENTS].mean() > tried_sittings(bench_of(demo_kit, bundled)).best[:CLIENTS].mean()
    )


def test_the_order_of_the_kit_changes_nothing(worth, demo_kit, bundled):
    again = kit_worth(Bench.of(shuffled(demo_kit), bundled))
    assert [cloth.lab for cloth in again.to_buy] == [cloth.lab for cloth in worth.to_buy]
    assert again.nats == pytest.approx(worth.nats, abs=1e-4)
    for one, other in zip(again.to_buy, worth.to_buy, strict=True):
        assert one.gain.nats == pytest.approx(other.gain.nats, abs=1e-4)


@pytest.mark.parametrize("lab", [THREE, THREE[:1]])
def test_a_kit_of_three_cloths_or_one_has_an_answer(bundled, lab):
    small = Bench.of(Kit.from_lab("ABC"[: len(lab)], lab), bundled)
    found = kit_worth(small)
    assert (found.nats > 0) == (len(lab) > 1)
    assert found.to_buy[0].gain.nats > 0.05


@pytest.mark.parametrize("method", ["four-seasons", "depth-first"])
def test_a_kit_of_metals_alone_has_nothing_to_hold_against(method):
    metals = Kit.from_lab("AB", [(70, 3, 30), (60, 0, 0)], ["metal"] * 2, undertone={"A": 1.0, "B": -1.0})
    found = kit_worth(Bench.of(metals, Method.bundled(method)))
    assert (found.nats, found.gaps, found.to_buy) == (0, (), ())


# Student's t with 3 degrees of freedom: 3.182 for 95 % (any table; W. S. Gosset, 1908).
def test_the_interval_is_students():
    gain = gain_of(np.array([0.1, 0.2, 0.3, 0.4]))
    assert gain.nats == pytest.approx(0.25)
    assert gain.high - gain.nats == pytest.approx(3.182 * 0.1290994 / 2, abs=1e-4)
    assert gain.nats - gain.low == pytest.approx(gain.high - gain.nats)
    assert gain.is_sure == (gain.low > 0)
    assert not gain_of(np.array([0.0] * 20 + [0.1])).is_sure
    assert 0 < CHOOSERS < CLIENTS
