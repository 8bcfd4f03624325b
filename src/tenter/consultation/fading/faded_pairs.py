"""Which test pairs no longer match, since a cloth of them has changed.

A pair is to differ in what it tests and in nothing else. It no longer matches where something else has come in: what a
kit audit names as mixed in, or lightness or chroma in which the two were alike.
"""

from collections.abc import Collection, Iterator
from dataclasses import dataclass

import numpy as np

from tenter.arrays import FloatArray, steady
from tenter.colorimetry.difference import delta_e_2000, lightness_apart
from tenter.colorimetry.spaces import lab_to_lch, lch_to_lab
from tenter.consultation.axes import Axis
from tenter.consultation.cloths.kit import Kit
from tenter.consultation.cloths.roles import kit_tests
from tenter.consultation.conventions.method import Method
from tenter.consultation.fading.drift import DRIFTED_FROM
from tenter.consultation.laid_out.bench import Bench, bench_of
from tenter.consultation.laid_out.pair_quality import Mixed, PairQuality, clean_pairs, pair_quality
from tenter.language import _, all_of, pgettext

_LIGHTNESS, _CHROMA = PARTED = "lightness", "chroma"
_TESTS = {Axis.DEPTH: _LIGHTNESS, Axis.CLARITY: _CHROMA}  # in what a pair is meant to differ
_SAME_AS = {Mixed.DEPTH: _LIGHTNESS, Mixed.CLARITY: _CHROMA}  # one thing by two names


@dataclass(frozen=True, slots=True)
class FadedPair:
    """A pair that matched and does not any more. test: the kit's name of it, empty where its roles do not name it.

    before, after: how well it tests its axis with the cloths as they were, and as they are. parted: in what the two
    differ now that they did not before, and that the pair is not meant to test.
    """

    test: str
    before: PairQuality
    after: PairQuality
    parted: tuple[str, ...]

    @property
    def cloths(self) -> tuple[str, str]:
        """The two cloths."""
        return self.before.first, self.before.second

    @property
    def reason(self) -> str:
        """What has come in besides what the pair tests, in words, in the language that is written."""
        parted = all_of([pgettext("differ in", thing) for thing in self.parted])
        return _("now also differs in {parted}", parted=parted)


def faded_pairs(before: Kit, after: Kit, method: Method, changed: Collection[str]) -> tuple[FadedPair, ...]:
    """Return the pairs with a changed cloth that matched and no longer do.

    The pairs looked at are those that the kit's roles name, and the best clean pairs of each axis at each level.
    before, after: the same cloths with the colours of then and of now.
    """
    then, now = bench_of(before, method), bench_of(after, method)
    found: dict[tuple[str, str, Axis], FadedPair] = {}
    for test, pair in _pairs(then, before):
        if not {pair.first, pair.second} & set(changed):
            continue
        current = pair_quality(now, pair.first, pair.second, pair.axis)
        known = _differs_in(then, pair)
        parted = tuple(thing for thing in _differs_in(now, current) if thing not in known)
        if parted:
            first, second = sorted((pair.first, pair.second))
            found.setdefault((first, second, pair.axis), FadedPair(test, pair, current, parted))
    return tuple(found.values())


def _differs_in(bench: Bench, pair: PairQuality) -> tuple[str, ...]:
    """Return in what two cloths differ besides what they test: lightness and chroma from ΔE00 2, the rest as mixed."""
    one, other = bench.kit.bench_colours.lab[[bench.kit.row(pair.first), bench.kit.row(pair.second)]]
    apart = {_LIGHTNESS: lightness_apart(one, other), _CHROMA: _chroma_apart(one, other)}
    things = [name for name, size in apart.items() if steady(float(size)) >= DRIFTED_FROM]
    every = dict.fromkeys([*(_SAME_AS.get(thing, str(thing)) for thing in pair.mixed), *things])
    return tuple(thing for thing in every if thing != _TESTS.get(pair.axis))


def _chroma_apart(one: FloatArray, other: FloatArray) -> FloatArray:
    """Return the part of ΔE00 that chroma makes, by changing it alone."""
    L, _, h = lab_to_lch(one)
    return delta_e_2000(one, lch_to_lab(np.array([L, lab_to_lch(other)[1], h])))


def _pairs(bench: Bench, kit: Kit) -> Iterator[tuple[str, PairQuality]]:
    """Yield the pairs to look at, each with the name of its test."""
    for test in kit_tests(kit):
        for one, other in test.pairs:
            if not (one.is_metal or other.is_metal):
                yield test.name, pair_quality(bench, one.id, other.id, test.axis)
    for level in clean_pairs(bench):
        yield from (("", pair) for pair in level.best)
