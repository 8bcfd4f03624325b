"""What was judged and what it does to the palette: rules W5, W6 and B5. Common practice, no source."""

import numpy as np
import pytest
from scipy.special import ndtr

from tenter import Answer, PairJudgement, Sitting
from tenter.consultation.axes import Axis
from tenter.consultation.colours.colours import Basis, Part
from tenter.consultation.palette.palette import palette
from tenter.consultation.personal.making import known_of, palette_of
from tenter.consultation.personal.suitability import Known, condensed
from tenter.consultation.personal.tried import tried
from tenter.consultation.record.judgements import GarmentJudgement
from tests.support.clients.palette_clients import METHOD, known_about

# Undertone pairs of the bundled kit, the cool cloth better, and the two answers without which there is no verdict.
COOL = [PairJudgement(warm, cool, Answer.RIGHT, strength=2) for warm, cool in (("D061", "D062"), ("D063", "D064"))]


def sat(kit, *judgements):
    return Sitting(kit, METHOD, seed=7).record_all([*COOL, *judgements])


def clearness(made, known):
    colours = [c for c in made.of_part(Part.NEAR_FACE, Part.ACCENT) if c.basis is Basis.PREDICTED]
    places = known.places(np.array([c.lab for c in colours]), [c.hue_family for c in colours])
    return float(np.mean(places[:, Axis.CLARITY.column]))


# W5: own garments are evidence, wide as unmeasured: the palette gets brighter, by less than a measured cloth makes it.
def test_a_brighter_garment_that_was_better_makes_a_brighter_palette(demo_kit):
    garment = GarmentJudgement("D077", ("brighter",), better=True)
    plain, worn, held = (
        condensed(sat(demo_kit, *more).posterior(), METHOD)
        for more in ([], [garment], [PairJudgement("D076", "D077", Answer.LEFT)])
    )
    clear = [clearness(palette_of(known), plain) for known in (plain, worn, held)]
    assert clear[0] < clear[1] < clear[2]


# W6: two cloths worn together are judged as a pair: nothing was seen of either by itself.
def test_two_cloths_that_won_together_are_not_colours_seen_on_the_client(demo_kit):
    together = [PairJudgement(("D040", "D003"), ("D040", "D013"), Answer.LEFT)]
    apart = [PairJudgement(better, "D013", Answer.LEFT) for better in ("D040", "D003")]
    for judged, seen in ((together, False), (apart, True)):
        sitting = sat(demo_kit, *judged)
        verdict = sitting.verdict()
        held = tried(sitting, palette(sitting, verdict), known_of(sitting, verdict)).held.tolist()
        assert [colour(demo_kit, cloth) in held for cloth in ("D040", "D003")] == [seen, seen]


def colour(kit, cloth):
    return kit.bench_colours.lab[kit.row(cloth)].tolist()


# B5: equal answers across a border place the client on it: the palette is of a place nearer it, and surer.
@pytest.mark.parametrize("pair", [("light spring", "light summer"), ("deep autumn", "deep winter")])
def test_an_equal_answer_across_a_border_moves_the_palette_to_it(pair):
    one, other = (np.array(METHOD.region(c).prototype) for c in pair)
    before = known_about(tuple(0.75 * one + 0.25 * other))
    apart = [shape.utility(np.stack([one, other]), before.ideals) for shape in before.shapes]
    chance = np.array([ndtr(0.35 - u[0] + u[1]) - ndtr(-0.35 - u[0] + u[1]) for u in apart])
    after = Known(METHOD, before.shapes, before.ideals, before.weights * chance)
    made = [palette_of(known) for known in (before, after)]
    on_border = known_about(tuple((one + other) / 2), spread=0.0)
    to_it = [float(np.mean(on_border.suitability(_places(on_border, p)))) for p in made]
    assert to_it[1] > to_it[0]
    widths = [np.mean([c.interval[1] - c.interval[0] for c in p.of_part(Part.NEAR_FACE)]) for p in made]
    assert widths[1] < widths[0]


def _places(known, made):
    return known.places(np.array([c.lab for c in made.colours]), [c.hue_family for c in made.colours])
