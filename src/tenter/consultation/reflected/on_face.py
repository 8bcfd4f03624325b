"""A measured face beside a drape, a cape or a wall: what each place is predicted to do, and what that rests on."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from tenter.consultation.client.face import Face
from tenter.consultation.cloths.kit import Kit
from tenter.consultation.cloths.reflection_factors import (
    REFLECTION_REGIONS,
    ReflectionFactor,
    ShadedSide,
    default_factors,
    shaded_side,
)
from tenter.consultation.readings.book import ReadingBook
from tenter.consultation.readings.measured_spectra import measured_spectra
from tenter.consultation.readings.summary import cloth_summaries
from tenter.consultation.reflected.effect import (
    CONTRAST,
    LEAST_VISIBLE_LAB,
    EffectSize,
    LitSkin,
    ReflectedEffect,
    ThrowingSurface,
    reflected_effects,
)
from tenter.consultation.reflected.wall import WallPlace, wall_factors
from tenter.errors import Refused
from tenter.language import N_, _, all_of, as_written, pgettext


def drape_surface(kit: Kit, drape_id: str, book: ReadingBook | None = None) -> ThrowingSurface:
    """Return a cloth of a kit as a surface that throws light.

    Its reflectance is the one that was measured last, by the book of readings; without one it is recovered from the
    mean colour of the last day there, or else from the kit's.

    Raises
    ------
    UnknownName
        If the kit has no such cloth.
    Refused
        If the cloth is a metal, whose light goes where it shines, or its colour was never measured.
    """
    drape = kit[drape_id]
    if drape.is_metal:
        raise Refused(
            _(
                "{drape_id} is a metal. Where its light falls depends on how it shines; look at it on the face.",
                drape_id=drape_id,
            )
        )
    name = drape_id if drape.name == drape_id else f"{drape_id} ({drape.name})"
    if book is not None:
        found = _as_read(name, drape_id, kit, book)
        if found is not None:
            return found
    if not drape.measured:
        raise Refused(
            _(
                "{drape_id} has no measured colour. Measure the cloth first, or give its L*, a* and b*.",
                drape_id=drape_id,
            )
        )
    return ThrowingSurface.of_lab(name, kit.lab[kit.row(drape_id)], kit.colours.conditions)


def _as_read(name: str, drape_id: str, kit: Kit, book: ReadingBook) -> ThrowingSurface | None:
    readings = book.of_cloth(drape_id)
    spectrum = measured_spectra(readings, kit).get(drape_id)
    if spectrum is not None:
        return ThrowingSurface(name, spectrum, recovered=False)
    days = cloth_summaries(readings)
    return ThrowingSurface.of_lab(name, days[-1].lab, days[-1].conditions) if days else None


PERHAPS = "perhaps visible"  # what a change is in a measured room, where it would depend on the room in another


class SurfaceKind(StrEnum):
    """What throws the light."""

    DRAPE = "drape"
    CAPE = "cape"
    WALL = "wall"


@dataclass(frozen=True, slots=True)
class SurfacePlace:
    """What a surface is to the face: its kind, and of a wall, where it is.

    metres: how far away a wall is, in metres.
    """

    kind: SurfaceKind = SurfaceKind.DRAPE
    wall: WallPlace = WallPlace.FRONT
    metres: float = 1.0


@dataclass(frozen=True, eq=False)
class FacePrediction:
    """What a surface does to a face by reflected light, place by place.

    notes: what it rests on, in sentences. measured: whether the factors are those of a room that was measured.
    """

    surface: ThrowingSurface
    against: ThrowingSurface | None
    place: SurfacePlace
    shaded: ShadedSide
    effects: Mapping[str, ReflectedEffect]
    notes: tuple[str, ...]
    measured: bool = False

    def size_said(self, effect: ReflectedEffect) -> str:
        """Return whether a change can be seen, in words; of a measured room it does not depend on the room any more."""
        said = PERHAPS if self.measured and effect.size is EffectSize.DEPENDS else str(effect.size)
        return pgettext("of a change", said)

    def of_size(self, size: EffectSize) -> list[str]:
        """Return the places whose change has a size, from the top of the face down."""
        return [region for region, effect in self.effects.items() if effect.size is size]

    def to_json(self) -> dict[str, object]:
        """Return plain values for `json.dumps`."""
        return {
            "surface": self.surface.name,
            "kind": str(self.place.kind),
            "against": None if self.against is None else self.against.name,
            "recovered": any(effect.recovered for effect in self.effects.values()),
            "shaded_side": str(self.shaded),
            "least_visible_delta_e_ab": LEAST_VISIBLE_LAB,
            "regions": {region: effect.to_json() for region, effect in self.effects.items()},
            "contrast": str(CONTRAST),
            "notes": list(self.notes),
        }


def predict_on_face(
    face: Face,
    surface: ThrowingSurface,
    place: SurfacePlace = SurfacePlace(),
    against: ThrowingSurface | None = None,
    room: Mapping[str, ReflectionFactor] | None = None,
) -> FacePrediction:
    """Return what a surface does to a measured face, beside `against` in its place or, without one, beside a black.

    room: the factors of a room that was measured; the defaults without one. A wall has its own, of geometry.

    Raises
    ------
    Refused
        If the face has a colour at no place whose factor is known.
    """
    shaded = shaded_side({name: colour.lab[0] for name, colour in face.regions.items()})
    factors = _factors(place, shaded, room)
    skins = {
        name: LitSkin.of_lab(face.regions[name].lab, face.conditions)
        for name in REFLECTION_REGIONS
        if name in face.regions
    }
    effects = reflected_effects(skins, factors, surface, against)
    if not effects:
        raise Refused(_("The face has no colour where the light of a cloth is predicted. Measure cheeks, chin or jaw."))
    measured = room is not None and place.kind is not SurfaceKind.WALL
    notes = (_room_note(place, shaded, measured), *_recovered_note(surface, against))
    return FacePrediction(surface, against, place, shaded, effects, notes, measured)


def _factors(
    place: SurfacePlace, shaded: ShadedSide, room: Mapping[str, ReflectionFactor] | None
) -> Mapping[str, ReflectionFactor]:
    if place.kind is SurfaceKind.WALL:
        return wall_factors(place.wall, place.metres)
    return default_factors(shaded) if room is None else room


_CAPE = N_(
    "A cape is predicted as a drape in the same place. One that is closed at the neck is nearer to the jaw: expect the "
    "upper end of the range there."
)
_SHADED = {
    ShadedSide.NEITHER: N_(
        "No side of this face is clearly in the shade, so the jaw's range covers both a lit and a shaded side."
    ),
    ShadedSide.LEFT: N_("The client's left side is in the shade in the photograph, and so its jaw and cheek get more."),
    ShadedSide.RIGHT: N_(
        "The client's right side is in the shade in the photograph, and so its jaw and cheek get more."
    ),
}


def _room_note(place: SurfacePlace, shaded: ShadedSide, measured: bool) -> str:
    if place.kind is SurfaceKind.WALL:
        return _(
            "The wall is taken to be {metres} m from the face, 4 m wide and 2.4 m high. How much light falls on it is "
            "an assumption: as much as on the face, from 0.3 to 1.5 times in the range. A wall lights the whole face, "
            "and the eye gets used to it: compare it with another wall to see its tint.",
            metres=as_written(f"{place.metres:g}"),
        )
    cape = [_(_CAPE)] if place.kind is SurfaceKind.CAPE else []
    if measured:
        return " ".join((*cape, _("The share of the light that reaches each place was measured in your room.")))
    simulated = _(
        "The share of the light that reaches each place is that of simulated scenes: a head above a cloth, beside a "
        "window, with a ceiling panel. The range covers other lights and heights of the cloth."
    )
    own = _("Measure your own room once, and its shares are used instead.")
    return " ".join((*cape, simulated, _(_SHADED[shaded]), own))


def _recovered_note(surface: ThrowingSurface, against: ThrowingSurface | None) -> tuple[str, ...]:
    recovered = [one.name for one in (surface, against) if one is not None and one.recovered]
    told = _(
        "Only Lab values are known of {what}: the spectra are recovered, the smoothest that have these colours.",
        what=all_of([_("the skin"), *recovered]),
    )
    return (told,)
