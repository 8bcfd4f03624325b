"""What the kit audit finds in the demo kit, what its advice is worth, and how long 1,000 cloths take.

`./run bench workshop --parts audit` prints it. The naive peer goes from pair to pair and works out ΔE00 alone, which is
less than the audit does.
"""

import time
from collections.abc import Iterator
from itertools import combinations, islice

import numpy as np

from studies.clients.simulation import simulated_kit
from tenter import Kit, Method
from tenter.arrays import FloatArray
from tenter.colorimetry.difference import delta_e_2000
from tenter.consultation.laid_out.audit import FindingKind, audit
from tenter.consultation.laid_out.bench import Bench, bench_of
from tenter.consultation.laid_out.pair_on_skins import PAIR_SKINS
from tenter.consultation.reading.evidence import RESPONSES
from tenter.consultation.reading.plan import Planner
from tenter.consultation.worth.best_kit import best_kit
from tenter.consultation.worth.gain import Gain, WiderKit, gain_of
from tenter.consultation.worth.reach import cloth_reach
from tenter.consultation.worth.shopping import KitWorth, kit_worth
from tenter.consultation.worth.tried_sittings import CLIENTS, rows_by_id, sittings_with, tried_sittings
from tenter.inference.lattice import Styles
from tenter.inference.planning import exact_pair_information
from tenter.inference.posterior import Posterior

_CLOTHS, _SAMPLED = 1000, 5000
_MANY = 1500  # clients, of whom each learns by another path once there is more to hold
_SIZES, _CHANCES = (6, 12, 24, 48), 5


def audit_lines(seed: int = 16) -> Iterator[str]:
    """Yield the figures, a line each."""
    bench = bench_of(Kit.demo(), Method.bundled())
    yield "Kit audit"
    yield from _speed(bench.method, seed)
    yield from _pairs(bench)
    yield from _reach(bench)
    yield from _worth(bench)
    yield from _beside_the_planner(bench)
    yield from _best_kits(bench, seed)


def _speed(method: Method, seed: int) -> Iterator[str]:
    kit = simulated_kit(_CLOTHS, np.random.default_rng(seed))
    audit(Kit.demo(), method)  # the surfaces of a method are worked out once
    start = time.perf_counter()
    bench = bench_of(kit, method)
    laid = time.perf_counter()
    found = audit(kit, method)
    done = time.perf_counter()
    lab, every = bench.kit.bench_colours.lab, _CLOTHS * (_CLOTHS - 1) // 2
    sample = list(islice(combinations(range(_CLOTHS), 2), _SAMPLED))
    naive = time.perf_counter()
    for one, other in sample:
        delta_e_2000(lab[one], lab[other])
    scaled = (time.perf_counter() - naive) * every / _SAMPLED
    kinds = (FindingKind.NEAR_DUPLICATE, FindingKind.LOOK_ALIKE)
    doubles = sum(finding.kind in kinds for finding in found.findings)
    yield (
        f"  {_CLOTHS} cloths, {every} pairs: {done - start:.2f} s, of which laying out {laid - start:.2f} s; {doubles} "
        f"doubles. ΔE00 alone from pair to pair, by {_SAMPLED} pairs: {scaled:.0f} s, "
        f"{scaled / (done - start):.0f} times as long"
    )


def _pairs(bench: Bench) -> Iterator[str]:
    pairs = [pair for test in audit(bench.kit, bench.method).tests for pair in test.pairs]
    mixed = [pair for pair in pairs if pair.mixed]
    told = "; ".join(f"{p.first} {p.second} ({', '.join(p.mixed)}, {p.share:.0%} {p.axis})" for p in mixed)
    yield f"  demo kit: {len(mixed)} of {len(pairs)} test pairs are mixed: {told}"
    for axis in dict.fromkeys(pair.axis for pair in pairs):
        own = [pair for pair in pairs if pair.axis is axis and not pair.mixed]
        by_skin = [
            f"{skin} {np.median([p.on_skins[i].chin for p in own]):.2f} / "
            f"{np.median([p.on_skins[i].jaw for p in own]):.2f}"
            for i, skin in enumerate(PAIR_SKINS)
        ]
        yield f"  {axis}: ΔE00 at chin / jaw, median of {len(own)} clean test pairs, by skin: {', '.join(by_skin)}"


def _reach(bench: Bench) -> Iterator[str]:
    told = [reach for reach in cloth_reach(bench) if reach.decides_nothing]
    named = ", ".join(f"{r.cloth} ({r.ahead:.0%} of clients, {r.information:.3f} nats alone)" for r in told)
    median = np.median([reach.information for reach in cloth_reach(bench)])
    yield f"  decide nothing: {len(told)}: {named}; a cloth alone tells {median:.3f} nats at the median"


def _worth(bench: Bench) -> Iterator[str]:
    start = time.perf_counter()
    worth = kit_worth(bench)
    yield f"  {worth.nats:.3f} nats a comparison; gaps and shopping list in {time.perf_counter() - start:.1f} s"
    for found in worth.gaps:
        yield f"    gap {found.gap.words}: {_said(found.gain)}{'' if found.gain.is_sure else ': not shown'}"
    for cloth in worth.to_buy:
        yield f"    buy {cloth.words}, L* a* b* {cloth.lab}: {_said(cloth.gain)}, {cloth.share:.1%}"
    yield f"    all of them bought, in sittings of their own: {_said(_once_bought(bench, worth))} more learned"
    tried, rows = tried_sittings(bench), rows_by_id(bench)
    rows = np.array([row for row in rows if bench.kit.drapes[row].undertone is None])
    doubles = WiderKit.of(tried, bench.kit.bench_colours.lab[rows], [bench.kit.drapes[r].hue_family for r in rows])
    yield f"    a double of any cloth: at most {tried.by_client(doubles.gains()).mean(axis=0).max():.5f} nats"


def _said(gain: Gain) -> str:
    return f"{gain.nats:.4f} nats ({gain.low:.4f} to {gain.high:.4f})"


def _once_bought(bench: Bench, worth: KitWorth) -> Gain:
    """Return what sittings teach more once all is bought, client by client; what is held then is another path."""
    lab = np.array([cloth.lab for cloth in worth.to_buy])
    wider = WiderKit.of(tried_sittings(bench), lab, [cloth.hue_family for cloth in worth.to_buy])
    with_it, without = (sittings_with(b, rows_by_id(b), _MANY).learned for b in (wider.bench, bench))
    return gain_of(with_it - without)


def _beside_the_planner(bench: Bench) -> Iterator[str]:
    tried = tried_sittings(bench)
    exact = _planned(bench)
    apart = np.abs(tried.told[:CLIENTS].mean(axis=0) - exact)
    yield (
        f"  information of {len(exact)} pairs at the start beside the planner's lattice: off by {np.median(apart):.4f} "
        f"nats (median), {apart.max():.4f} (worst), of {exact.max():.3f}"
    )


def _planned(bench: Bench) -> FloatArray:
    frame, pairs = bench.frame(Styles()), tried_sittings(bench).pairs
    stand_ins, utility = Planner(bench).stand_ins(frame, Posterior.of(frame.lattice), frame.categories)
    noise, hidden = bench.pair_noise(*pairs.T)
    return (1 - hidden) * exact_pair_information(utility, stand_ins, noise, pairs, RESPONSES)


def _best_kits(bench: Bench, seed: int) -> Iterator[str]:
    own, rng = rows_by_id(bench), np.random.default_rng(seed)
    for size in _SIZES:
        start = time.perf_counter()
        best = best_kit(bench, size)
        took = time.perf_counter() - start
        picks = [np.sort(rng.choice(own, size, replace=False)) for _ in range(_CHANCES)]
        chance = [float(sittings_with(bench, rows).learned.mean()) for rows in picks]
        yield (
            f"  best {size} of {own.size}: {best.nats:.3f} nats a comparison, all {best.nats_of_all:.3f}, {_CHANCES} "
            f"at random {min(chance):.3f} to {max(chance):.3f}; best pairs {best.share:.1%} of the bound; {took:.1f} s"
        )
