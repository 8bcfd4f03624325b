"""How well one bounce predicts the light that a cloth throws: `./run bench reflected [--series 8]`.

Scenes that differ in the cloth alone: p12 white, p13 black, p14 ochre at one height; p15 white, p16 cool red, p17
black with the cloth 2 cm higher; p1 and p2, another person, two reds. By place, F and sheen are set on white against
black, and then predict the other cloths. A scene's own unit is unknown, so that scenes are made alike at the forehead,
by its default F. Then: the defaults on every pair; single scenes of every skin, told apart by spectrum; spectra against
Lab values alone; energy; warm against cool; F from photographs in turn.
"""

import argparse
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from scipy.optimize import least_squares

from studies.camera.bench_series import Handling, ordinary, take_series
from studies.workshop.one_scene import one_scene_lines
from studies.workshop.twin_scenes import TWINS, TwinScene, twin_of
from tenter import Kit
from tenter.arrays import FloatArray
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.measurement import D65_2, D65_10
from tenter.colorimetry.reflectance import reflectance_to_xyz, resample, under_reflected_light
from tenter.consultation.cloths.reflection_factors import (
    REFLECTION_REGIONS,
    ReflectionFactor,
    ShadedSide,
    default_factors,
)
from tenter.consultation.cloths.roles import kit_tests
from tenter.consultation.reflected.effect import LitSkin, ReflectedEffect, ThrowingSurface, reflected_effect
from tenter.consultation.reflected.room import measure_room, room_photographs
from tenter.photo.cards import ChartKind
from tenter.photo.series.measure import series_of

Factors = Mapping[str, ReflectionFactor]
DEFAULTS = default_factors(ShadedSide.LEFT)  # the window of these scenes is at the client's right
SKINS = Path(__file__).parents[2] / "tests" / "data" / "nist_skin" / "nist_skin_mean_360-830nm_5nm.csv"
LOW, HIGH = ("p12", "p13", "p14"), ("p15", "p17", "p16")  # at one height: white, black, a colour
_CARD_WHITE = 0.9  # reflectance of the card's white: only the level of Lab hangs on it
_ANCHOR = "forehead"


def luminance(reflectance: FloatArray) -> float:
    return float(reflectance_to_xyz(reflectance, D65_2.illuminant, D65_2.observer)[1])


def cloth_of(twin: TwinScene) -> ThrowingSurface:
    return ThrowingSurface(twin.cloth_name, twin.cloth, recovered=False)


def bare(seen: FloatArray, twin: TwinScene, factor: ReflectionFactor) -> FloatArray:
    """Return what a place that is seen as (81,) would be without the cloth of its scene."""
    thrown = factor.value * twin.cloth
    return (seen - factor.sheen * thrown) / (1 + thrown)


def seen_at(twin: TwinScene, region: str, base: TwinScene) -> FloatArray:
    """Return a place as a surface (81,) beside the card of `base`, in whose unit the scene is put."""
    own = DEFAULTS[_ANCHOR]
    here, there = (luminance(bare(scene.radiance[_ANCHOR], scene, own)) for scene in (twin, base))
    card = luminance(base.radiance["card_white"]) / _CARD_WHITE
    return twin.radiance[region] * there / here / card


def predicted(a: TwinScene, b: TwinScene, region: str, factor: ReflectionFactor) -> tuple[LitSkin, ReflectedEffect]:
    """Return the place without a cloth, as scene `a` has it, and what b's cloth does to it in the place of a's."""
    skin = LitSkin.of_reflectance(np.maximum(bare(seen_at(a, region, a), a, factor), 0), D65_2)
    return skin, reflected_effect(region, skin, factor, cloth_of(b), cloth_of(a))


def true_lab(twin: TwinScene, base: TwinScene, region: str) -> FloatArray:
    return LitSkin.of_reflectance(seen_at(twin, region, base), D65_2).lab


def set_factor(white: TwinScene, black: TwinScene, region: str, sheen: float | None = None) -> ReflectionFactor:
    """Return F of a place, and its sheen unless that is given, from a scene with a white and one with a black cloth."""
    target = true_lab(white, black, region)

    def missed(numbers: FloatArray) -> FloatArray:
        factor = ReflectionFactor(numbers[0], 0, 2, numbers[1] if sheen is None else sheen)
        error = (
            predicted(black, white, region, factor)[0].lab_beside(cloth_of(white), numbers[0], factor.sheen) - target
        )
        return error if sheen is None else error[:1]

    start, end = ([0.05, 0.02], [2.0, 1.0]) if sheen is None else ([0.05], [2.0])
    found = least_squares(missed, start, bounds=(0, end)).x
    return ReflectionFactor(found[0], 0, 2, found[1] if sheen is None else sheen)


@dataclass(frozen=True)
class Row:
    """One place of one pair: the true change, how far the predicted colour is off, and whether the range holds it."""

    pair: str
    region: str
    change: float
    error: float
    within: bool


def rows_of(twins: Mapping[str, TwinScene], pairs: tuple[tuple[str, str], ...], factors: Factors) -> Iterator[Row]:
    for one, other in pairs:
        a, b = twins[one], twins[other]
        for region in REFLECTION_REGIONS:
            skin, effect = predicted(a, b, region, factors[region])
            before, after = true_lab(a, a, region), true_lab(b, a, region)
            change = float(delta_e_2000(before, after))
            least, most = effect.delta_e_2000_range
            guess = skin.lab_beside(cloth_of(b), factors[region].value, factors[region].sheen)
            # half a hundredth of ΔE00 is what a rendered region's colour is known to
            held = least - 0.005 <= change <= most + 0.005
            yield Row(f"{one}-{other}", region, change, float(delta_e_2000(guess, after)), held)


def print_rows(title: str, rows: list[Row]) -> None:
    errors = np.array([row.error for row in rows])
    worst = rows[int(errors.argmax())]
    outside = ", ".join(f"{r.pair} {r.region}" for r in rows if not r.within)
    print(f"{title}: error median {np.median(errors):.3f}, worst {errors.max():.3f} ({worst.pair} {worst.region})")
    for place in ("chin", "jaw", "cheek", "lips", "nose", "forehead"):
        of = [row for row in rows if row.region.startswith(place)]
        found = max(row.error for row in of)
        changes = [row.change for row in of]
        print(f"    {place:9} true change {min(changes):.2f}-{max(changes):.2f}, worst {found:.3f}")
    not_held = f"; not {outside}" if outside else ""
    print(f"    the range over F holds {sum(r.within for r in rows)} of {len(rows)} changes{not_held}")


def pairs_of(three: tuple[str, str, str]) -> tuple[tuple[str, str], ...]:
    """Return the pairs that F was not set on: the colour against white and against black."""
    white, black, colour = three
    return ((black, colour), (white, colour))


def twin_part(twins: Mapping[str, TwinScene]) -> None:
    fitted = {}
    for name, three in (("low", LOW), ("high", HIGH)):
        white, black, _ = (twins[n] for n in three)
        fitted[name] = {r: set_factor(white, black, r) for r in REFLECTION_REGIONS}
        said = ", ".join(f"{r} {f.value:.3f}/{f.sheen:.3f}" for r, f in fitted[name].items())
        print(f"F/sheen set on {three[0]} against {three[1]}: {said}")
    for name, three in (("low", LOW), ("high", HIGH)):
        print_rows(f"set and tried at one height ({name})", list(rows_of(twins, pairs_of(three), fitted[name])))
        alone = {r: set_factor(twins[three[0]], twins[three[1]], r, DEFAULTS[r].sheen) for r in REFLECTION_REGIONS}
        print_rows("  the same, F alone set, sheen by default", list(rows_of(twins, pairs_of(three), alone)))
        none = {r: set_factor(twins[three[0]], twins[three[1]], r, 0.0) for r in REFLECTION_REGIONS}
        print_rows("  the same, without sheen", list(rows_of(twins, pairs_of(three), none)))
    ranged = {
        r: replace(f, low=min(f.value, DEFAULTS[r].low), high=max(f.value, DEFAULTS[r].high))
        for r, f in fitted["low"].items()
    }
    every = (*pairs_of(HIGH), (HIGH[1], HIGH[0]))
    print_rows("set low, tried 2 cm higher, range of the table", list(rows_of(twins, every, ranged)))
    print_rows("another person and room, set on p12 and p13", list(rows_of(twins, (("p1", "p2"),), ranged)))
    all_pairs = (*pairs_of(LOW), ("p13", "p12"), *every, ("p1", "p2"))
    print_rows("nothing set: the defaults", list(rows_of(twins, all_pairs, DEFAULTS)))


def skins_of_nist() -> FloatArray:
    """Return reflectances (100, 81) of inner forearms."""
    table = np.loadtxt(SKINS, delimiter=",", skiprows=1)
    return resample(table[:, 1:].T, table[:, 0])


def lab_only_part(twins: Mapping[str, TwinScene]) -> None:
    """Print how far a prediction by Lab values alone is from one by spectra."""
    apart = []
    cloths = [cloth_of(twins[name]) for name in ("p1", "p2", "p14", "p16", "p12")]
    for reflectance in skins_of_nist():
        known = LitSkin.of_reflectance(reflectance, D65_2)
        guessed = LitSkin.of_lab(known.lab, D65_2)
        for cloth in cloths:
            lab = LitSkin.of_reflectance(np.clip(cloth.reflectance, 0, 1), D65_10).lab
            smooth = ThrowingSurface.of_lab(cloth.name, lab, D65_10)
            for region in ("chin", "jaw_left"):
                f = DEFAULTS[region]
                by_spectra = known.lab_beside(cloth, f.value, f.sheen)
                apart.append(delta_e_2000(by_spectra, guessed.lab_beside(smooth, f.value, f.sheen)))
    values = np.array(apart)
    print(
        f"spectra against Lab alone, 100 skins, {len(cloths)} cloths, chin and shaded jaw: "
        f"median {np.median(values):.3f}, worst {values.max():.3f} ΔE00"
    )


def room_part(twins: Mapping[str, TwinScene], count: int) -> None:
    """Print how F measured from photographs in turn compares with F of the scenes themselves."""
    rng = np.random.default_rng(5)
    truth = {
        three: {r: set_factor(twins[three[0]], twins[three[1]], r, DEFAULTS[r].sheen).value for r in REFLECTION_REGIONS}
        for three in (LOW, HIGH)
    }
    held, kept, misses, widths = [], [], [], []
    for k in range(count):
        three = (LOW, HIGH)[k % 2]
        white, black, _ = three
        camera = str(rng.choice(["nikon", "sigma", "phone-a", "phone-b"]))
        light = str(rng.choice(["D65", "D50", "LED-B3"]))
        photos = take_series(white, black, "ABAB", light, camera, ordinary(rng), Handling(), rng)
        series = series_of(photos, [f"{i}.jpg" for i in range(4)], "ABAB", ChartKind.CLASSIC24)
        if not series.accepted:
            print(f"    series {k} refused: {series.refusals[0]}")
            continue
        room = measure_room(room_photographs(series.to_json()), cloth_of(twins[white]), cloth_of(twins[black]))
        for region, found in room.measured.items():
            true = truth[three][region]
            held.append(found.low <= true <= found.high)
            kept.append(found.kept_default)
            if region.startswith(("chin", "jaw")):
                misses.append(abs(found.estimate - true) / true)
                widths.append((found.high - found.low) / true)
    print(
        f"F from {count} series ABAB of photographs: the 90 % interval holds {np.mean(held):.0%} of {len(held)}; the "
        f"default stays at {np.mean(kept):.0%}; chin and jaws: off by {np.median(misses):.0%} (median), "
        f"{np.max(misses):.0%} (worst), interval {np.median(widths):.0%} of F wide"
    )


def energy_part(count: int = 10_000) -> None:
    """Print how the bounce compares with the exact exchange of light between two patches, in random scenes."""
    rng = np.random.default_rng(16)
    above, out_most = 0, 0.0
    for _ in range(count):
        skin, cloth = rng.uniform(0, 0.95, 2)
        sheen = rng.uniform(0, 1 - skin)
        to_cloth = rng.uniform(0, 1)  # share of what the skin sees that is cloth
        light = rng.uniform(0, 3)  # on the cloth, as a share of that on the skin
        one = float(under_reflected_light(skin, cloth, to_cloth * light, sheen))
        exact = (skin + (skin + sheen) * to_cloth * cloth * light) / (1 - to_cloth**2 * cloth * (skin + sheen))
        arriving = 1 + to_cloth * cloth * light
        above += one > exact + 1e-12
        out_most = max(out_most, one / arriving)
    print(
        f"energy, {count} random scenes: more than the exact exchange in {above}; sent back at most {out_most:.4f} of "
        "what arrives"
    )


def warm_cool_part() -> None:
    """Print the least Δb* of the warm against the cool cloth of the demo kit's undertone pairs, over every skin."""
    kit = Kit.demo()
    pairs = [pair for test in kit_tests(kit) if test.name.startswith("undertone-") for pair in test.pairs]
    rises = []
    for cloths in pairs:
        lab = {c.role.rpartition("-")[2]: kit.lab[kit.row(c.id)] for c in cloths}
        warm, cool = (ThrowingSurface.of_lab(end, lab[end], kit.colours.conditions) for end in ("warm", "cool"))
        for reflectance in skins_of_nist():
            skin = LitSkin.of_reflectance(reflectance, D65_2)
            rises += [reflected_effect(r, skin, f, warm, cool).delta_lab[2] for r, f in DEFAULTS.items()]
    print(
        f"warm against cool, {len(pairs)} pairs, 100 skins, {len(DEFAULTS)} places: b* rises by {min(rises):.4f} or "
        "more"
    )


def reflected_part(series: int = 0) -> None:
    """Print every figure; of photographed series as many as are asked for."""
    twins = {name: twin_of(name) for name in TWINS}
    twin_part(twins)
    for line in one_scene_lines():
        print(line)
    lab_only_part(twins)
    energy_part()
    warm_cool_part()
    if series:
        room_part(twins, series)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--series", type=int, default=8, help="how many series of photographs; half a minute each")
    reflected_part(parser.parse_args().series)


if __name__ == "__main__":
    main()
