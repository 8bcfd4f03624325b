"""The best kit of so many cloths: against every kit there is, against chance, and its bounds."""

from itertools import combinations

import numpy as np
import pytest

from tenter import Kit
from tenter.consultation.laid_out.bench import Bench, bench_of
from tenter.consultation.worth.best_kit import best_kit
from tenter.consultation.worth.tried_sittings import rows_by_id, sittings_with, tried_sittings
from tenter.errors import TenterError
from tests.consultation.worth.kits import kit_of_rows, shuffled


@pytest.fixture(scope="module")
def bench(demo_kit, bundled):
    return bench_of(demo_kit, bundled)


@pytest.mark.parametrize(("seed", "count"), [(0, 2), (1, 3), (2, 4), (3, 5)])
def test_it_comes_within_a_hundredth_of_the_best_of_every_kit_there_is(demo_kit, bundled, seed, count):
    few = np.random.default_rng(seed).choice(85, 10, replace=False)
    own = Bench.of(kit_of_rows(demo_kit, few), bundled)
    tried = tried_sittings(own)
    reached = []
    for rows in combinations(range(10), count):
        held = np.isin(tried.pairs, rows).all(axis=1)
        reached.append(tried.told[:, held].max(axis=1, initial=0.0).mean() / tried.best.mean())
    found = best_kit(own, count)
    assert len(found.cloths) == len(set(found.cloths)) == count
    assert 0.99 * max(reached) <= found.share <= max(reached) + 1e-9


def test_more_cloths_tell_more_and_all_of_them_everything(bench, demo_kit):
    shares = [best_kit(bench, count).share for count in (4, 8, 16, 32)]
    assert shares == sorted(shares)
    assert shares[-1] <= 1
    every = best_kit(bench, 93)
    assert every.share == 1
    assert every.nats == every.nats_of_all
    assert every.cloths == tuple(d.id for d in demo_kit.drapes if not d.is_metal)


def test_it_teaches_more_than_kits_picked_at_random(bench):
    own, rng = rows_by_id(bench), np.random.default_rng(4)
    chance = [sittings_with(bench, np.sort(rng.choice(own, 12, replace=False))).learned.mean() for _ in range(3)]
    assert best_kit(bench, 12).nats > max(chance)


def test_the_order_of_the_kit_changes_nothing(bench, demo_kit, bundled):
    other = best_kit(Bench.of(shuffled(demo_kit), bundled), 10)
    assert set(other.cloths) == set(best_kit(bench, 10).cloths)


@pytest.mark.parametrize("count", [1, 94, 2.5])
def test_a_count_that_cannot_be_is_refused(bench, count):
    with pytest.raises(TenterError, match="from 2 to 93"):
        best_kit(bench, count)


def test_a_kit_of_three_and_of_metals_alone(bundled):
    three = Bench.of(Kit.from_lab("ABC", [(45, 50, 30), (60, -20, 5), (30, 5, -30)]), bundled)
    assert len(best_kit(three, 2).cloths) == 2
    metals = Bench.of(Kit.from_lab("A", [(70, 3, 30)], ["metal"], undertone={"A": 1.0}), bundled)
    assert best_kit(metals, 2).cloths == ()
