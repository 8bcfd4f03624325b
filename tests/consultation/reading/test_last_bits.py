"""What a kit and a sitting come to does not hang on the last bits of the numbers they are worked out from."""

from dataclasses import replace

import numpy as np
import pytest

import tenter
from tenter.colorimetry.measurement import D65_10
from tenter.colorimetry.spaces import lch_to_lab
from tenter.consultation.client.contrast import ContrastLevel, contrast_level
from tenter.consultation.client.face import Face, FaceColour
from tenter.consultation.cloths.hue_families import HueFamily, hue_family
from tenter.consultation.laid_out.bench import Bench, bench_of
from tenter.consultation.laid_out.coverage import gaps, kit_coverage
from tenter.consultation.laid_out.pair_quality import clean_pairs
from tenter.consultation.laid_out.teaching import teaching_pair
from tenter.consultation.palette import palette as palettes
from tenter.consultation.reading import plan, reading

LAST_BITS = 1e-15


def moved(values, rng):
    return values * (1 + LAST_BITS * rng.uniform(-1, 1, np.shape(values)))


@pytest.fixture(scope="module")
def twice(demo_kit) -> tenter.Kit:
    """Half the cloths of the invented studio, each of them twice: a kit full of ties."""
    rows = [row for row, drape in enumerate(demo_kit.drapes) if drape.measured and not drape.is_metal][::2]
    lab = np.repeat(demo_kit.bench_colours.lab[rows], 2, axis=0)
    return tenter.Kit.from_lab([f"T{number:03d}" for number in range(len(lab))], lab)


@pytest.fixture(scope="module")
def regular() -> tenter.Kit:
    """Colours at equal steps of lightness, chroma and hue: most of their pairs have a twin somewhere."""
    steps = np.meshgrid([30.0, 50, 70], [10.0, 25, 40], np.arange(0, 360, 30.0), indexing="ij")
    lab = lch_to_lab(np.stack(steps, axis=-1).reshape(-1, 3))
    return tenter.Kit.from_lab([f"R{number:03d}" for number in range(len(lab))], lab)


def on_another_processor(bench: Bench, seed: int) -> Bench:
    rng = np.random.default_rng(seed)
    return replace(bench, coordinates=moved(bench.coordinates, rng), chins=moved(bench.chins, rng))


def said_of_kit(bench: Bench):
    best = [(found.count, [(pair.first, pair.second) for pair in found.best]) for found in clean_pairs(bench)]
    wide = [(gap.category, gap.hue_family, gap.nearest, gap.lab) for gap in gaps(bench)]
    shown = teaching_pair(bench)
    return kit_coverage(bench), best, wide, {shown.brighter, shown.darker}


@pytest.mark.parametrize("seed", [1, 2, 3])
@pytest.mark.parametrize("which", ["demo_kit", "twice", "regular"])
def test_what_is_said_of_a_kit_is_the_same_on_every_processor(which, seed, bundled, request):
    bench = bench_of(request.getfixturevalue(which), bundled)
    assert said_of_kit(on_another_processor(bench, seed)) == said_of_kit(bench)


def said_in_sitting(kit: tenter.Kit, method: tenter.Method):
    """Follow a few proposals with the lighter cloth always better, and return all that was said."""
    sitting = tenter.Sitting(kit, method, seed=4)
    said: list[object] = []
    for _ in range(7):
        left, right = sitting.propose()
        said.append((left, right, sitting.propose_fan(), sitting.phase))
        lighter = kit.bench_colours.lab[kit.row(left), 0] >= kit.bench_colours.lab[kit.row(right), 0]
        sitting.record(tenter.PairJudgement(left, right, tenter.Answer.LEFT if lighter else tenter.Answer.RIGHT))
    verdict = sitting.verdict()
    palette = palettes.palette(sitting, verdict)
    lists = (palette.entries, palette.neutrals, palette.whites, palette.metals)
    said.append([[entry.drape.id for entry in entries] for entries in lists])
    said.append((verdict.category, verdict.runner_up, verdict.leading_trait, verdict.settling_pair))
    return [*said, [reason.entries for reason in verdict.reasons]]


def test_a_sitting_is_proposed_and_read_alike_on_every_processor(twice, bundled, monkeypatch):
    here = said_in_sitting(twice, bundled)
    rng = np.random.default_rng(1)
    there = on_another_processor(bench_of(twice, bundled), 1)
    monkeypatch.setattr(reading, "bench_of", lambda kit, method: there)
    for name in ("pair_signal", "pair_information", "exact_pair_information"):
        found = getattr(plan, name)
        monkeypatch.setattr(plan, name, lambda *given, found=found: moved(found(*given), rng))
    assert said_in_sitting(twice, bundled) == here


# The borders are ours: from C* 40 a colour between 325 and 352 degrees is pink, below it red or purple.
@pytest.mark.parametrize("hue", range(326, 352))
def test_a_colour_on_the_border_of_a_hue_family_belongs_above_it(hue):
    assert hue_family(lch_to_lab([46, 40, hue])) is HueFamily.PINK


@pytest.mark.parametrize(
    ("border", "above"), [(42, HueFamily.ORANGE), (108, HueFamily.GREEN), (178, HueFamily.TEAL), (222, HueFamily.BLUE)]
)
def test_a_hue_on_a_border_belongs_above_it(border, above):
    lab = lch_to_lab([[60, chroma, border] for chroma in np.linspace(21, 60, 40)])
    assert {hue_family(one) for one in lab} == {above}


# As binary numbers 64.1 less 24.1 is 39.99999999999999; a step of 40 is a high contrast.
@pytest.mark.parametrize("skin", [64.1, 64.6, 66.1, 70.0])
def test_a_contrast_on_a_border_belongs_above_it(skin):
    lightness = {"cheek_left": skin, "hair": round(skin - 40, 1)}
    face = Face(D65_10, {name: FaceColour((L, 10.0, 15.0), ((L, L),) * 3) for name, L in lightness.items()})
    found = contrast_level(face)
    assert found is not None
    assert found.level is ContrastLevel.HIGH
