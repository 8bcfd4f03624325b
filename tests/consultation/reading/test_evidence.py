"""What a judgement says of the client: how likely it and its rivals were, its signs, and which axes it is about."""

from dataclasses import replace
from itertools import permutations

import numpy as np
import pytest
from numpy.testing import assert_allclose

from tenter import Answer, DrapeJudgement, FanJudgement, GarmentJudgement, Kit, Method, PairJudgement
from tenter.consultation.axes import Axis
from tenter.consultation.laid_out.bench import bench_of
from tenter.consultation.reading.evidence import Reader, _axes_apart, axes_tested
from tenter.consultation.words.answers import Relative, Suits
from tenter.consultation.words.flags import Flag, Flagged, Seen, Sign
from tenter.inference.lattice import LatticeBox, Styles
from tenter.inference.posterior import Active, Posterior

WARM, COOL, DEEP = "D061", "D062", "D066"
GOLD, PEWTER = "D089", "D090"


@pytest.fixture(scope="module")
def measured() -> Reader:
    """Read on a frame of few nodes: what is said here holds at each of them."""
    bench = bench_of(Kit.demo(), Method.bundled())
    return Reader(bench, bench.focused(Styles(), LatticeBox((-2.0,) * 3, (2.0,) * 3, 5)))


@pytest.fixture(scope="module")
def unmeasured(measured: Reader) -> Reader:
    """The same, where one cloth is known by its hue family alone."""
    spreads = measured.bench.spreads.copy()
    spreads[measured.bench.kit.row(WARM)] = (0.7, 1.0, 0.9)
    return Reader(replace(measured.bench, spreads=spreads), measured.frame)


@pytest.fixture(params=["measured", "unmeasured"])
def reader(request) -> Reader:
    return request.getfixturevalue(request.param)


@pytest.fixture(scope="module")
def every(measured: Reader) -> Active:
    """Every hypothesis of the frame."""
    return Active.of(Posterior.of(measured.frame.lattice), [], depth=np.inf)


def likelihood(reader, every, judgement):
    return np.exp(every.gather(reader.log_likelihood(judgement)))


# -- what came, and what else there could have been ----------------------------------------------------------------

# Of each kind all judgements there are; those that make one coarse outcome stand together.
FANS = [FanJudgement(order) for order in permutations((WARM, COOL, DEEP))]
OUTCOMES = {
    "a pair": [
        [PairJudgement(WARM, COOL, Answer.LEFT, strength) for strength in (1, 3)],
        [PairJudgement(WARM, COOL, Answer.RIGHT, strength) for strength in (1, 3)],
        [PairJudgement(WARM, COOL, answer) for answer in Answer if answer.is_equal],
    ],
    "one cloth": [[DrapeJudgement(WARM, suits)] for suits in Suits],
    "a fan": [[fan for fan in FANS if fan.ranking[0] == first] for first in (WARM, COOL, DEEP)],
}


@pytest.mark.parametrize("outcomes", OUTCOMES.values(), ids=OUTCOMES)
def test_the_chance_of_what_came_is_its_likelihood(reader, every, outcomes):
    for alike in outcomes:
        whole = sum(likelihood(reader, every, one) for one in alike)
        for one in alike:
            assert_allclose(reader.outcomes(one, every)[0], whole, atol=1e-4)


@pytest.mark.parametrize("outcomes", OUTCOMES.values(), ids=OUTCOMES)
def test_all_that_could_have_come_sums_to_one(reader, every, outcomes):
    for one in (alike[0] for alike in outcomes):
        assert_allclose(reader.outcomes(one, every).sum(axis=0), 1, atol=1e-9)


def test_a_garment_that_looked_worse_has_the_chance_of_the_other_side(measured, every):
    better, worse = (GarmentJudgement(WARM, (Relative.BRIGHTER,), was) for was in (True, False))
    won, lost = measured.outcomes(better, every), measured.outcomes(worse, every)
    assert_allclose(won[[0, 1]], lost[[2, 0]])  # what came is first: worse, equal, better otherwise
    assert_allclose(won.sum(axis=0), 1)
    for one, chances in ((better, won), (worse, lost)):  # or much better, or much worse
        assert (likelihood(measured, every, one) < chances[0] + 1e-4).all()


def test_a_garment_that_is_brighter_and_looked_better_speaks_for_the_bright(measured):
    said = measured.log_likelihood(GarmentJudgement(WARM, (Relative.BRIGHTER,), True))
    opposite = measured.log_likelihood(GarmentJudgement(WARM, (Relative.SOFTER,), True))
    clarity = measured.frame.lattice.ideals[:, Axis.CLARITY.column]
    for log_p, sign in ((said, 1), (opposite, -1)):
        drawn = np.exp(log_p).mean(axis=(0, 1))
        assert sign * (drawn[clarity == clarity.max()].mean() - drawn[clarity == clarity.min()].mean()) > 0


def test_words_that_are_opposite_take_a_garment_equally_far(measured):
    for one, other in (("warmer", "cooler"), ("lighter", "deeper"), ("brighter", "softer")):
        there_and_back = GarmentJudgement(WARM, (Relative(one), Relative(other)), True)
        neither, _ = measured._garment(there_and_back)
        again, _ = measured._garment(GarmentJudgement(WARM, (Relative("warmer"), Relative("cooler")), True))
        assert_allclose(neither, again)
        apart = [measured._garment(GarmentJudgement(WARM, (Relative(word),), True))[0] for word in (one, other)]
        assert not np.allclose(*apart)


def test_a_metal_alone_is_seen_less_surely_than_a_cloth(measured):
    metal, cloth = (measured._single_noise(DrapeJudgement(one, "works")) for one in (GOLD, "D063"))
    assert metal > cloth == 1


# -- signs ---------------------------------------------------------------------------------------------------------


def along(reader, sign, drape, axis):
    """Return what a sign over a cloth says of ideals that differ on one axis alone, lowest first; same on any other."""
    lattice = reader.frame.lattice
    said = np.broadcast_to(reader._sign(Seen(drape, sign)), len(lattice.ideals))
    cube = np.moveaxis(said.reshape((lattice.box.nodes,) * 3), axis.column, 0).reshape(lattice.box.nodes, -1)
    assert_allclose(cube, cube[:, :1] * np.ones((1, cube.shape[1])))
    return cube[:, 0]


def test_a_cloth_that_is_noticed_first_speaks_for_less_clarity_than_its_own(measured):
    assert (np.diff(along(measured, Sign.CLOTH_FIRST, WARM, Axis.CLARITY)) < 0).all()


def test_a_face_that_is_noticed_first_speaks_for_the_clarity_of_the_cloth(measured):
    nodes = measured.frame.lattice.box.axes[Axis.CLARITY.column]
    for drape in (WARM, COOL, DEEP, PEWTER):
        own = measured._coordinate(drape, Axis.CLARITY.column)
        said = along(measured, Sign.FACE_FIRST, drape, Axis.CLARITY)
        by_distance = said[np.argsort(abs(nodes - own))]
        assert (np.diff(by_distance) < 0).all()


@pytest.mark.parametrize("drape", [WARM, COOL, GOLD, PEWTER])
def test_a_tint_of_ones_own_speaks_for_the_side_of_the_cloth_and_an_applied_one_for_the_other(measured, drape):
    side = np.sign(measured._coordinate(drape, Axis.UNDERTONE.column))
    own, applied = (along(measured, sign, drape, Axis.UNDERTONE) for sign in (Sign.OWN_TINT, Sign.APPLIED_TINT))
    assert (side * np.diff(own) > 0).all()
    assert_allclose(np.exp(own) + np.exp(applied), 1)


@pytest.mark.parametrize(("of_a_metal", "of_any"), [("blends", "own-tint"), ("stands-apart", "applied-tint")])
def test_a_metal_that_blends_says_what_a_tint_of_ones_own_does_and_a_cloth_that_blends_nothing(
    measured, of_a_metal, of_any
):
    for metal in (GOLD, PEWTER):
        told, same = (measured._sign(Seen(metal, Sign(word))) for word in (of_a_metal, of_any))
        assert_allclose(told, same)
    assert not measured._sign(Seen(WARM, Sign(of_a_metal))).any()


LINKED = (Sign.OWN_TINT, Sign.APPLIED_TINT, Sign.CLOTH_FIRST, Sign.FACE_FIRST)


@pytest.mark.parametrize("sign", [sign for sign in Sign if sign not in LINKED])
def test_every_other_sign_over_a_cloth_is_kept_and_says_nothing(measured, sign):
    assert not measured._sign(Seen(WARM, sign)).any()
    plain = PairJudgement(WARM, COOL, Answer.LEFT)
    signed = replace(plain, signs=(f"{WARM}:{sign}",))
    assert_allclose(measured.log_likelihood(signed), measured.log_likelihood(plain))


def test_flags_and_signs_are_read_beside_the_answer(measured):
    plain = PairJudgement(WARM, COOL, Answer.LEFT)
    both = replace(plain, flags=(f"{WARM}:too-bright",), signs=(f"{COOL}:applied-tint",))
    beside = measured._flag(Flagged(WARM, Flag.TOO_BRIGHT)) + measured._sign(Seen(COOL, Sign.APPLIED_TINT))
    assert beside.any()
    assert_allclose(measured.log_likelihood(both), measured.log_likelihood(plain) + beside)


# -- what it is about ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("distance", "axes"),
    [
        ((0.5, 0.5, 0.0), {Axis(a) for a in Axis if a.column < 2}),
        ((0.5, 0.5, 0.5), {next(a for a in Axis if a.column == 0)}),  # a third of it each: none stands out
        ((0.0, 2.0, 0.1), {next(a for a in Axis if a.column == 1)}),
        ((0.1, 0.0, 0.1001), {next(a for a in Axis if a.column == 2)}),  # hardly apart: the one furthest apart
        ((3.0, 0.0, 2.9), {Axis(a) for a in Axis if a.column != 1}),
    ],
    ids=["two equal", "three equal", "one far", "hardly apart", "two far"],
)
def test_a_comparison_is_about_the_axes_that_make_up_its_difference(distance, axes):
    assert _axes_apart(np.array(distance)) == axes


def test_a_fan_is_about_what_its_outer_steps_are_and_a_garment_about_what_is_said_of_it(measured):
    bench = measured.bench
    fan = FanJudgement((WARM, COOL, DEEP))
    apart = np.ptp([bench.coordinates[bench.kit.row(c)] for c in fan.cloths], axis=0)
    assert axes_tested(bench, fan) == _axes_apart(apart)
    said = {Relative.WARMER: Axis.UNDERTONE, Relative.DEEPER: Axis.DEPTH, Relative.SOFTER: Axis.CLARITY}
    for word, axis in said.items():
        assert axes_tested(bench, GarmentJudgement(WARM, (word,), True)) == {axis}
