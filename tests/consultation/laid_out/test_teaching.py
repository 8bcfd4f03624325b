"""The teaching pair: the laws it follows, and the size of its effect beside the path-traced scenes."""

from dataclasses import replace

import numpy as np
import pytest

import tenter
from tenter.colorimetry.difference import delta_e_2000
from tenter.consultation.laid_out.bench import Bench, bench_of
from tenter.consultation.laid_out.coverage import countable
from tenter.consultation.laid_out.pair_quality import is_brightened
from tenter.consultation.laid_out.teaching import NoTeachingPair, teaching_pair


@pytest.fixture(scope="module")
def bench(demo_kit, bundled):
    return bench_of(demo_kit, bundled)


def effect(bench: Bench, one: str, other: str) -> float:
    return float(delta_e_2000(bench.chins[bench.kit.row(one)], bench.chins[bench.kit.row(other)]))


def test_no_other_pair_of_the_kit_moves_the_chin_more(bench):
    pair = teaching_pair(bench)
    assert pair.effect == pytest.approx(effect(bench, pair.brighter, pair.darker), abs=1e-12)
    usable = [bench.kit.ids[row] for row in np.flatnonzero(countable(bench)) if not is_brightened(bench, int(row))]
    rivals = [effect(bench, a, b) for i, a in enumerate(usable) for b in usable[:i]]
    assert pair.effect == pytest.approx(max(rivals), abs=1e-12)
    assert bench.chins[bench.kit.row(pair.brighter), 0] >= bench.chins[bench.kit.row(pair.darker), 0]


def test_it_shows_more_than_white_and_black_and_no_more_than_light_can_do(bench):
    # Path-traced scenes (docs/how-it-works/evidence.md): 0.7 to 1 ΔE00 on the chin between a white and a black cloth.
    labs = bench.kit.bench_colours.lab
    plain = [i for i in range(len(bench.kit)) if np.hypot(*labs[i, 1:]) < 8 and not bench.metals[i]]
    white, black = max(plain, key=lambda i: labs[i, 0]), min(plain, key=lambda i: labs[i, 0])
    of_white_and_black = effect(bench, bench.kit.ids[white], bench.kit.ids[black])
    assert 0.5 < of_white_and_black < 1.2
    assert of_white_and_black < teaching_pair(bench).effect < 4


def test_neither_metals_nor_missing_cloths_teach(bench):
    first = teaching_pair(bench)
    without = teaching_pair(bench, missing={first.brighter})
    assert first.brighter not in (without.brighter, without.darker)
    assert without.effect <= first.effect
    assert not {without.brighter, without.darker} & {d.id for d in bench.kit.drapes if d.is_metal}


def test_the_order_of_the_kit_does_not_matter(bench, bundled):
    kit = bench.kit
    turned = tenter.Kit(kit.drapes[::-1], replace(kit.colours, lab=kit.colours.lab[::-1]))
    assert teaching_pair(Bench.of(turned, bundled)) == teaching_pair(bench)


def test_a_kit_without_two_usable_cloths_says_so(bench):
    metals = {d.id for d in bench.kit.drapes if d.is_metal}
    kept = next(i for i in bench.kit.ids if i not in metals)
    with pytest.raises(NoTeachingPair, match="two measured cloths"):
        teaching_pair(bench, missing=set(bench.kit.ids) - {kept})
