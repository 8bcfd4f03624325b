"""What a single scene says of its cloth's light, told apart from the rest of a place's light by its spectrum.

No twin scenes have dark skin. But a place of any face sends back a sum of parts, each with a spectrum of its own: light
on skin ρ; the cloth's light on it, ρ ρ_cloth; what glances off the skin of either, 1 and ρ_cloth; and both once more by
way of other skin, ρ² and ρ² ρ_cloth. Their amounts, none below 0, are fitted to the radiance. The method is tried on
the twins first. It needs a cloth with a colour, and a place that gets enough of its light: the chin and the jaws.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from scipy.optimize import least_squares, nnls

from studies.scenes.exposure import load_scene
from studies.workshop.twin_scenes import TwinScene, skin_of, twin_of
from tenter.arrays import FloatArray
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.illuminants import WAVELENGTHS_NM
from tenter.colorimetry.measurement import D65_2, D65_10
from tenter.colorimetry.reflectance import reflectance_to_lab, reflectance_to_xyz, under_reflected_light
from tenter.colorimetry.typology import ItaClass, individual_typology_angle, ita_class, skins_by_ita_class
from tenter.consultation.cloths.reflection_factors import ReflectionFactor, ShadedSide, default_factors

PLACES = ("chin", "jaw_left", "jaw_right")
COLOURED = ("p1", "p2", "p6", "p14", "p16", "p7", "p8", "p3", "p5", "p10", "p4")  # from light skin to dark
_TWINS = (("p14", "p13"), ("p16", "p17"), ("p1", "p2"))  # of each two, the cloth alone differs
_BLACK = ("p13", "p17")
_DARK = ("p10", "p4")
_RENDERED = np.isin(WAVELENGTHS_NM, np.arange(390, 731, 20))  # between these the radiance is interpolated
_CARD_WHITE = 0.9  # reflectance of the card's white: only the level of Lab hangs on it
_WHITE_CLOTH = np.full(len(WAVELENGTHS_NM), 0.9)


@dataclass(frozen=True, eq=False)
class TakenApart:
    """The parts of a place's light. shares (6,): of ρ, ρ ρ_cloth, 1, ρ_cloth, ρ² and ρ² ρ_cloth, each at least 0.

    skin: its reflectance ρ (81,). missed: root mean square of what the fit misses, as a share of the radiance.
    """

    skin: FloatArray
    shares: FloatArray
    missed: float

    def thrown(self, cloth: FloatArray) -> FloatArray:
        """Return what a cloth (81,) in the place of the scene's own would send to the lens by way of the skin."""
        light: FloatArray = _parts(self.skin, cloth)[:, 1::2] @ self.shares[1::2]
        return light


def taken_apart(seen: FloatArray, skin: FloatArray, cloth: FloatArray) -> TakenApart:
    """Return the parts of a radiance (81,) of skin (81,) beside a cloth (81,)."""
    rows = (_parts(skin, cloth) / seen[:, None])[_RENDERED]
    shares, left = nnls(rows, np.ones(len(rows)))
    return TakenApart(skin, shares, float(left / np.sqrt(len(rows))))


def _parts(skin: FloatArray, cloth: FloatArray) -> FloatArray:
    return np.stack([skin, skin * cloth, np.ones_like(skin), cloth, skin**2, skin**2 * cloth], axis=1)


@dataclass(frozen=True, eq=False)
class PlaceTakenApart:
    """One place of a scene, as a surface (81,) beside its card: own without the cloth, seen with it."""

    own: FloatArray
    seen: FloatArray
    parts: TakenApart


def place_of(name: str, place: str) -> PlaceTakenApart:
    """Return a place of a scene with its cloth's light told apart."""
    twin = twin_of(name)
    seen = twin.radiance[place] / _card(twin)
    parts = taken_apart(seen, skin_of(name)[place], twin.cloth)
    return PlaceTakenApart(seen - parts.thrown(twin.cloth), seen, parts)


def _card(twin: TwinScene) -> float:
    return _luminance(twin.radiance["card_white"]) / _CARD_WHITE


def _luminance(spectrum: FloatArray) -> float:
    return float(reflectance_to_xyz(spectrum, D65_2.illuminant, D65_2.observer)[1])


def _lab(surface: FloatArray) -> FloatArray:
    return reflectance_to_lab(surface, D65_2.illuminant, D65_2.observer)


def _change(before: FloatArray, after: FloatArray) -> float:
    return float(delta_e_2000(_lab(before), _lab(after)))


def twin_error(one: str, other: str, place: str) -> tuple[float, float]:
    """Return how far off a place without the cloth is, and what the cloth truly changes there, both ΔE00.

    The other scene has the truth: the same place beside a black, whose small part is taken off by the shares of the
    first, or beside another colour, taken apart as well. It is put in the unit of the first at the forehead.
    """
    a, twin = place_of(one, place), twin_of(other)
    forehead = [_luminance(place_of(name, "forehead").own) for name in (one, other)]
    seen = twin.radiance[place] / _card(twin) * forehead[0] / forehead[1]
    if other in _BLACK:
        own = seen - a.parts.thrown(twin.cloth)
    else:
        own = seen - place_of(other, place).parts.thrown(twin.cloth) * forehead[0] / forehead[1]
    return _change(a.own, own), _change(own, a.seen)


@dataclass(frozen=True, slots=True)
class ModelOnPlace:
    """What our model makes of a place, in ΔE00.

    effect: of the scene's own cloth, taken apart. predicted, low, high: by the default F, and over its range. factor: F
    that meets the colour best with the default sheen. missed: what is left then without sheen, with the default's, and
    with twice as much.
    """

    effect: float
    predicted: float
    low: float
    high: float
    factor: float
    missed: tuple[float, float, float]

    @property
    def within(self) -> bool:
        """Whether the default's range holds the effect."""
        return self.low <= self.effect <= self.high


def model_on(name: str, place: str) -> ModelOnPlace:
    """Return how our model does at a place of a scene."""
    at, cloth, default = place_of(name, place), twin_of(name).cloth, default_of(name, place)

    def predicted(factor: float, sheen: float) -> FloatArray:
        return under_reflected_light(at.own, cloth, factor, sheen)

    def best(sheen: float) -> float:
        target = _lab(at.seen)
        return float(least_squares(lambda f: _lab(predicted(f[0], sheen)) - target, [0.1], bounds=(0, 2)).x[0])

    one, two, three = (_change(predicted(best(s), s), at.seen) for s in (0.0, default.sheen, 2 * default.sheen))
    usual, low, high = (
        _change(at.own, predicted(f, default.sheen)) for f in (default.value, default.low, default.high)
    )
    return ModelOnPlace(_change(at.own, at.seen), usual, low, high, best(default.sheen), (one, two, three))


def default_of(name: str, place: str) -> ReflectionFactor:
    """Return the default F of a place; in a side light the client's left is shaded in these scenes."""
    side = load_scene(name).meta["lighting"] == "side window"
    return default_factors(ShadedSide.LEFT if side else ShadedSide.NEITHER)[place]


def beside_light_skin(name: str, place: str, cloth: FloatArray | None = None) -> float:
    """Return what a cloth does to a place as a part of what it would do to light skin there, in ΔE00, by our model.

    Without a cloth it is the scene's own. F is that of the scene, the sheen the default's; light skin is the mean of
    its class, with the gloss of the place.
    """
    at, thrower = place_of(name, place), twin_of(name).cloth if cloth is None else cloth
    factor, sheen = model_on(name, place).factor, default_of(name, place).sheen
    gloss = at.parts.shares[2] / at.parts.shares[0]
    light = (skins_by_ita_class()[ItaClass.LIGHT] + gloss) * at.parts.shares[0]
    dark, other = (_change(own, under_reflected_light(own, thrower, factor, sheen)) for own in (at.own, light))
    return dark / other


def one_scene_lines() -> Iterator[str]:
    """Yield the method's error on the twins, and how our model does on each skin."""
    yield "one scene taken apart by spectrum, tried on twins: ΔE00 off (what the cloth truly changes)"
    errors = {(pair, place): twin_error(*pair, place) for pair in _TWINS for place in PLACES}
    for pair in _TWINS:
        said = ", ".join(f"{p} {errors[pair, p][0]:.3f} ({errors[pair, p][1]:.2f})" for p in PLACES)
        yield f"    {pair[0]} by {pair[1]}: {said}"
    off = [error for error, _ in errors.values()]
    yield f"    median {np.median(off):.3f}, worst {max(off):.3f}"
    yield "the model on each scene: effect, by default F (range); F that meets it; left without sheen/default/twice"
    models = {(name, place): model_on(name, place) for name in COLOURED for place in PLACES}
    for name in COLOURED:
        lab = reflectance_to_lab(skin_of(name)["forehead"], D65_10.illuminant, D65_10.observer)
        skin = ita_class(float(individual_typology_angle(lab)))
        yield f"  {name}, {skin} (L* {lab[0]:.0f}), {twin_of(name).cloth_name}"
        for place in PLACES:
            m = models[name, place]
            ratio, white = (beside_light_skin(name, place, cloth) for cloth in (None, _WHITE_CLOTH))
            yield (
                f"    {place:9} {m.effect:.2f}, {m.predicted:.2f} ({m.low:.2f}-{m.high:.2f}); F {m.factor:.3f}; left "
                f"{'/'.join(f'{left:.3f}' for left in m.missed)}; beside light skin {ratio:.2f}, a white {white:.2f}"
            )
    outside = [f"{name} {place}" for (name, place), m in models.items() if not m.within]
    yield f"    the range over F holds {len(models) - len(outside)} of {len(models)}; not {', '.join(outside) or 'one'}"
    for k, sheen in enumerate(("without sheen", "with the default's", "with twice as much")):
        left = [m.missed[k] for m in models.values()]
        dark = [m.missed[k] for (name, _), m in models.items() if name in _DARK]
        yield f"    left {sheen}: median {np.median(left):.3f}, dark skin {np.median(dark):.3f}, worst {max(dark):.3f}"
