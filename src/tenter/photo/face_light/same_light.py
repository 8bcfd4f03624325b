"""Whether the card gets the light that the face gets: what one photograph shows of it, and what that leaves open.

Five things are looked at: how the card is turned against the face (`pose.py`), and what that does in the light that the
face shows (`shading.py`); a veil on the card (`veil.py`); a change of colour across it (`card/tint.py`); what a
plain wall shows beside card and head (`surroundings.py`); and whether the face is lighter than it can be
(`brightness.py`). A card that is shaded evenly and to its very edge leaves none of these signs. So every single
photograph has a doubt about the light on its card (`uncertainty.py`), and where there are signs a second one is
asked for.

The limits were set on 205 rendered photographs with 40 kinds of fault, of five scenes (p3, p5, p7, p9, p12), none of
which are among those that the study `against` reports on (studies/photo/card_against_face.py).
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from tenter.arrays import FloatArray
from tenter.colorimetry.spaces import lab_to_xyz, xyz_to_lab
from tenter.language import N_, _, local_number
from tenter.numerals import whole_percent
from tenter.photo.advice import HOLD_THE_CARD, MOVE_THE_CARD, WIDER, WIDER_COLOUR, WIDER_LIGHTNESS
from tenter.photo.card.calibration import Calibration
from tenter.photo.card.tint import CardTint, card_tint
from tenter.photo.card.veil import CLEAR_GAIN, Veil
from tenter.photo.face_light.brightness import (
    TooLight,
    fall_at_outline,
    lighter_than_its_colour,
    too_light,
    white_of_eyes,
)
from tenter.photo.face_light.pose import card_facing, head_facing
from tenter.photo.face_light.shading import face_shading
from tenter.photo.face_light.surroundings import NOTHING_TOLD, Surroundings, surroundings
from tenter.photo.files.loading import Photo
from tenter.photo.patches.correction import D65_WHITE
from tenter.photo.reasons import Code, Reason
from tenter.photo.regions.landmarks import FaceSearch
from tenter.photo.regions.reading import RegionReading
from tenter.photo.regions.regions import Region

_BY_CHANCE_DEGREES, NOTED_TILT, MAX_TILT = 3.0, 7.0, 15.0  # heads that face the camera are read up to 4 degrees off
_EXPLAINED = 0.5  # of the shading of a face, from where its light is known
_LAMP_DEGREES = 45.0  # from the card: where a lamp is taken to stand that the face tells nothing of
_FAR_TILT = 40.0  # beyond it the lamp at 45 degrees lies in the card's own plane
MAX_VEIL = 0.08  # share of white over the card; more is severe
# Logarithms of light on the wall beside the card and the head: of 69 undisturbed scenes within ±0.03 and ±0.02.
NOTED_SHADE, MAX_SHADE = 0.05, 0.08
NOTED_HALO, MAX_HALO = 0.024, 0.045
NOTED_FALL, MAX_FALL = 0.1, 0.13
NOTED_TOO_LIGHT, MAX_TOO_LIGHT = 2.0, 3.6  # standard deviations by which skin and eyes are too light
# By how much more the light differs than these show, and from where on.
_PER_SHADE, _PER_HALO, _PER_FALL = (4.5, 0.02), (10.0, 0.01), (4.0, 0.06)
_TOO_LIGHT_FROM, _TOO_LIGHT_SURELY, _MORE_THAN_SEEN = 1.4, 2.0, 0.12


@dataclass(frozen=True, slots=True)
class SameLight:
    """What was found; None where nothing can be told.

    tilt_degrees: between card and face. by_tilt: the logarithm of light on a surface turned like the card over that on
    one turned like the face, in the light that the face shows. pallor: by what logarithm the face is lighter than skin
    of its colour. fall: by what logarithm its light falls along its outline. eyes: luminance of their white.
    """

    tilt_degrees: float | None = None
    by_tilt: float = 0.0
    veil: Veil | None = None
    tint: CardTint | None = None
    wall: Surroundings = NOTHING_TOLD
    pallor: float | None = None
    fall: float | None = None
    eyes: float | None = None

    @property
    def veil_share(self) -> float | None:
        """The share of white that lies on the card; 0 where none is seen."""
        if self.veil is None:
            return None
        return self.veil.share if self.veil.possible else 0.0

    @property
    def doubt_by_tilt(self) -> float:
        """Half-width, in logarithms of light, that the card's tilt adds."""
        return self._turned * max(_by_a_lamp(self.tilt_degrees or 0.0), abs(self.by_tilt) / 2)

    @property
    def light_of_card(self) -> float:
        """The logarithm of light that the card has more than the face, as far as its tilt is sure."""
        return self._turned * self.by_tilt

    @property
    def _turned(self) -> float:
        """How sure it is that the card is turned against the face, 0 to 1."""
        beyond = (self.tilt_degrees or 0.0) - _BY_CHANCE_DEGREES
        return float(np.clip(beyond / (NOTED_TILT - _BY_CHANCE_DEGREES), 0, 1))

    @property
    def doubt_of_light(self) -> float:
        """Half-width, in logarithms of light, that the signs of less light on the card than on the face add."""
        shade = _beyond(-(self.wall.card or 0.0), _PER_SHADE)
        return float(np.linalg.norm([shade, _by_too_light(too_light(self.pallor, self.eyes))]))

    @property
    def doubt_of_face(self) -> float:
        """Half-width, in logarithms of light, that the signs of a brightened face add."""
        return float(np.hypot(_beyond(self.wall.head or 0.0, _PER_HALO), _beyond(self.fall or 0.0, _PER_FALL)))

    def reasons(self) -> list[Reason]:
        """Return what is to be said of it."""
        return [*self._of_card(), *self._of_light()]

    @property
    def widened(self) -> tuple[str, ...]:
        """Which of "lightness", "a" and "b" have wider intervals for what was found."""
        codes = {reason.code for reason in self.reasons()}
        colours = bool(codes & {Code.CARD_VEILED, Code.CARD_TINTED})
        return ("lightness",) * bool(codes - {Code.CARD_TINTED}) + ("a", "b") * colours

    def doubting(self, reading: RegionReading) -> RegionReading:
        """Return a reading in the light that the face has, with the doubts that these signs add."""
        tint = np.zeros(2) if self.tint is None or not self.tint.found else np.abs(self.tint.change) / 2
        doubted = replace(
            reading.evidence,
            tilt=self.doubt_by_tilt,
            face_light=self.doubt_of_light,
            brightened=self.doubt_of_face,
            tint=(float(tint[0]), float(tint[1])),
        )
        in_its_light = lab_to_xyz(reading.lab, D65_WHITE) * np.exp(self.light_of_card)
        return replace(reading, lab=xyz_to_lab(in_its_light, D65_WHITE), evidence=doubted)

    def _of_card(self) -> list[Reason]:
        found = []
        if self.tilt_degrees is not None and self.tilt_degrees > NOTED_TILT:
            found.append(_tilted(self.tilt_degrees))
        if self.veil is not None and self.veil.possible:
            found.append(_veiled(self.veil))
        if self.tint is not None and self.tint.found:
            found.append(_tinted(self.tint))
        return found

    def _of_light(self) -> list[Reason]:
        shade, halo, fall = -(self.wall.card or 0.0), self.wall.head or 0.0, self.fall or 0.0
        face = too_light(self.pallor, self.eyes).certainty
        found = []
        if shade > NOTED_SHADE or face > NOTED_TOO_LIGHT:
            seen = _DARKER_WALL if shade > NOTED_SHADE else _TOO_LIGHT_FACE
            found.append(_light_doubted(seen, shade > MAX_SHADE or face > MAX_TOO_LIGHT))
        if halo > NOTED_HALO or fall > NOTED_FALL:
            found.append(_brightened(fall > NOTED_FALL, halo > MAX_HALO or fall > MAX_FALL))
        return found


NOTHING_SEEN = SameLight()


def same_light(
    photo: Photo, calibration: Calibration | None, search: FaceSearch, labs: Mapping[Region, FloatArray]
) -> SameLight:
    """Return what a photograph shows of the light on card and face; `labs` holds the Lab (3,) of regions.

    Nothing without a card of patches or without a face.
    """
    mesh, head = search.mesh_px, head_facing(search)
    if calibration is None or mesh is None or head is None:
        return NOTHING_SEEN
    correction, grid, reading = calibration.correction, calibration.card.grid, calibration.reading
    card = card_facing(photo, reading.centres_px, grid)
    shading = face_shading(photo, correction, search)
    one, other = grid.pairs
    pitch = float(np.median(np.linalg.norm(reading.centres_px[one] - reading.centres_px[other], axis=1)))
    return SameLight(
        card.degrees_from(head),
        0.0 if shading is None or shading.explained < _EXPLAINED else shading.log_ratio(card, head),
        calibration.veil,
        card_tint(calibration),
        surroundings(photo, correction, reading.corners_px, pitch, mesh),
        None if shading is None else lighter_than_its_colour(shading.towards(head), labs),
        fall_at_outline(photo, correction, mesh),
        white_of_eyes(photo, correction, mesh),
    )


def tilt_reasons(photo: Photo, calibration: Calibration | None, search: FaceSearch) -> list[Reason]:
    """Return what is said of a card that is turned against the face, as `SameLight.reasons` says it; [] otherwise."""
    head = head_facing(search)
    if calibration is None or head is None:
        return []
    degrees = card_facing(photo, calibration.reading.centres_px, calibration.card.grid).degrees_from(head)
    return [_tilted(degrees)] if degrees > NOTED_TILT else []


def _by_a_lamp(degrees: float) -> float:
    """Return the logarithm of light that a surface loses when it is turned away from a lamp at 45 degrees."""
    lamp, turned = np.radians([_LAMP_DEGREES, _LAMP_DEGREES + min(degrees, _FAR_TILT)])
    return float(np.log(np.cos(lamp) / np.cos(turned)))


def _beyond(step: float, per: tuple[float, float]) -> float:
    return per[0] * max(step - per[1], 0.0)


def _by_too_light(face: TooLight) -> float:
    sure = (face.certainty - _TOO_LIGHT_FROM) / (_TOO_LIGHT_SURELY - _TOO_LIGHT_FROM)
    return float(np.clip(sure, 0, 1)) * (face.by + _MORE_THAN_SEEN)


def _tilted(degrees: float) -> Reason:
    severe = degrees > MAX_TILT
    turned = _("The card is turned by {degrees}° against the face.", degrees=local_number(degrees, 0))
    light = (
        _("It gets another amount of light than the face.")
        if severe
        else _("It may get more or less light than the face.")
    )
    return Reason(Code.CARD_TILTED, _joined(turned, light, _unless(severe, WIDER_LIGHTNESS), _held()), severe)


def _veiled(veil: Veil) -> Reason:
    severe = veil.share > MAX_VEIL and veil.gain > CLEAR_GAIN
    veiled = _(
        "The card's dark patches are too light, as if a veil of {percent} of white lay over them. A lamp or a window "
        "shines in the card, light falls into the lens, or the camera lifts dark tones.",
        percent=whole_percent(veil.share),
    )
    turn = _(
        "{hold_the_card}, and turn away from the window until nothing shines in it. Use the plain photo mode.",
        hold_the_card=_(HOLD_THE_CARD),
    )
    return Reason(Code.CARD_VEILED, _joined(veiled, _unless(severe, WIDER), turn), severe)


def _tinted(tint: CardTint) -> Reason:
    size = float(np.hypot(*tint.change))
    return Reason(
        Code.CARD_TINTED,
        _(
            "The light changes colour across the card, by {units} units from one end to the other. A coloured cloth or "
            "wall throws light on it, or a second lamp does. {wider} Keep the card beside the jaw and clear of cloths, "
            "and leave one light on.",
            units=local_number(size, 0),
            wider=_(WIDER_COLOUR),
        ),
    )


_DARKER_WALL = N_("The wall is darker all around the card, as if a shade lay on both.")
_TOO_LIGHT_FACE = N_("Skin, or the white of the eyes, is too light for the light on the card.")


def _light_doubted(seen: str, severe: bool) -> Reason:
    less = _("The card seems to get less light than the face.")
    text = _joined(less, _(seen), _unless(severe, WIDER_LIGHTNESS), _held(), f"{_(MOVE_THE_CARD)}.")
    return Reason(Code.CARD_LIGHT_DOUBTED, text, severe)


def _brightened(along_outline: bool, severe: bool) -> Reason:
    lighter = _("The phone seems to have made the face lighter.")
    where = (
        _("The face gets darker all along its outline, and no lamp does that.")
        if along_outline
        else _("The wall is lighter all around the head, and no lamp does that.")
    )
    turn_off = _(
        "Turn off portrait mode, beauty mode and automatic enhancement, and take the photograph again in the plain "
        "photo mode."
    )
    return Reason(Code.FACE_BRIGHTENED, _joined(lighter, where, _unless(severe, WIDER_LIGHTNESS), turn_off), severe)


def _unless(severe: bool, doubt: str) -> str:
    """Return what a doubt does to the intervals; nothing where the picture is refused."""
    return "" if severe else _(doubt)


def _held() -> str:
    return f"{_(HOLD_THE_CARD)}."


def _joined(*sentences: str) -> str:
    return " ".join(filter(None, sentences))
