"""Can I wear this? A garment held against what is known of a client: where it is worn, what is off, what rescues it.

An answer is given where the error of the garment's colour leaves its role likely enough; `SURE_IN_A_PHOTO` was set on
simulated photographs so that more than nine of ten such answers are right (docs/how-to/garments.md).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from tenter.arrays import steady
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.spaces import Lab
from tenter.consultation.axes import Axis
from tenter.consultation.cloths.hue_families import hue_family
from tenter.consultation.colours.borders import HARDLY_DIFFERS
from tenter.consultation.colours.colours import Basis, PaletteColour, Part, PersonalPalette, StapleAnswer
from tenter.consultation.garments.garment import Garment, GarmentColour, KnownBy
from tenter.consultation.garments.measured_role import MeasuredRole, measured_role
from tenter.consultation.garments.rescue import goes_with, layer_between
from tenter.consultation.garments.role import ROLES, GarmentAnswer, Hold
from tenter.consultation.personal.suitability import Known, Offset
from tenter.errors import TenterError
from tenter.language import ngettext

SURE_OF_ROLE = 0.58  # certainty from which a role is said
SURE_IN_A_PHOTO = 0.64  # the same of what was photographed
READ_WELL = 1.0  # half-width up to which a role is said in any case: an instrument's reading


class Unclear(StrEnum):
    """Why the role of a garment cannot be told."""

    NOT_READ = "not_read"  # a photograph that was refused
    NAME_IS_WIDE = "name_is_wide"
    COLOUR_IS_UNSURE = "colour_is_unsure"


@dataclass(frozen=True, slots=True)
class NearestColour:
    """The palette's colour nearest to a garment's largest one; delta_e: the ΔE00 between the two."""

    colour: PaletteColour
    delta_e: float


@dataclass(frozen=True, slots=True)
class PartCheck:
    """One colour of a print by itself.

    lab: CIELAB under D65/10°. area: its part of the garment, 0 to 1. suitability: from 0 to 1, with its 90 % interval.
    near_face: whether it counts for what is near the face.
    """

    lab: Lab
    area: float
    answer: GarmentAnswer
    suitability: float
    interval_90: tuple[float, float]
    nearest: NearestColour | None
    near_face: bool


@dataclass(frozen=True, eq=False)
class GarmentCheck:
    """What is said of a garment.

    suitability: from 0 to 1, 1 at the client's ideal, as the colour was measured; interval_90: with the error of the
    colour and what is not known of the client. roles: the probability of each, by the error of the colour. off: from
    the client's ideal, in bench units. All four are None for a photograph that was refused. between: colours of the
    palette to wear between a garment and the face, empty where none is needed. goes_with: colours to wear it with.
    unclear: why it cannot be told. held: the rule that the answer follows from, where it is not the suitability alone.
    seen: a colour that was seen on the client and hardly differs. instead: what the palette has in place of a staple
    that is swapped and hardly differs, or of a hue that the client has no version of; else empty. unlike: the part of
    the garment, 0 to 1, of which nothing is known (`Garment`). reasons: what is said of a photograph, as it came.
    """

    answer: GarmentAnswer
    known_by: KnownBy
    name: str = ""
    suitability: float | None = None
    interval_90: tuple[float, float] | None = None
    roles: dict[GarmentAnswer, float] | None = None
    off: dict[Axis, Offset] | None = None
    nearest: NearestColour | None = None
    between: tuple[PaletteColour, ...] = ()
    goes_with: tuple[PaletteColour, ...] = ()
    parts: tuple[PartCheck, ...] = ()
    unclear: Unclear | None = None
    held: Hold | None = None
    seen: PaletteColour | None = None
    instead: str = ""
    unlike: float = 0.0
    reasons: tuple[str, ...] = ()


def check_garment(
    palette: PersonalPalette,
    known: Known,
    garment: Garment,
    near_face: Sequence[int] = (),
    remarks: Sequence[str] = (),
) -> GarmentCheck:
    """Return whether and where a client wears a garment.

    Parameters
    ----------
    near_face
        Of a print: which of its colours, counted from 1, the largest first, are near the face. All of them if empty.
    remarks
        Of the photograph that it was read in, in plain words.

    Raises
    ------
    TenterError
        If the garment has no colour of such a number.
    """
    chosen = _chosen(garment, near_face)
    found = measured_role(palette, known, [garment.colours[i] for i in chosen])
    nearest = _nearest(palette, garment.colours[chosen[0]].lab)
    answer = _answer(found, [garment.colours[i] for i in chosen])
    return GarmentCheck(
        answer=answer,
        known_by=garment.known_by,
        name=garment.name,
        suitability=found.suitability,
        interval_90=found.interval,
        roles=found.probabilities,
        off=found.off,
        nearest=nearest,
        between=() if answer is GarmentAnswer.NEAR_FACE else layer_between(palette, garment.colours[0].lab),
        goes_with=goes_with(palette, garment.colours[0].lab) if answer is GarmentAnswer.NEAR_FACE else (),
        parts=_parts(palette, known, garment, chosen) if garment.is_print else (),
        unclear=_unclear(garment.known_by) if answer is GarmentAnswer.CANNOT_TELL else None,
        held=found.held if answer is not GarmentAnswer.CANNOT_TELL else None,
        seen=None if garment.is_print else _seen(nearest, answer),
        instead=""
        if garment.is_print or answer is GarmentAnswer.NEAR_FACE
        else _instead(palette, garment.colours[0].lab),
        unlike=garment.unlike,
        reasons=tuple(remarks),
    )


def not_read(reasons: Sequence[str], known_by: KnownBy = KnownBy.PHOTO) -> GarmentCheck:
    """Return what is said of a garment whose photograph was refused."""
    return GarmentCheck(GarmentAnswer.CANNOT_TELL, known_by, unclear=Unclear.NOT_READ, reasons=tuple(reasons))


def likeliest(check: GarmentCheck) -> tuple[GarmentAnswer, ...]:
    """Return the roles between which a garment lies, the likeliest first: as many as make it sure together."""
    ordered = sorted(check.roles or {}, key=lambda role: (-steady((check.roles or {})[role]), ROLES.index(role)))
    kept: list[GarmentAnswer] = []
    for role in ordered:
        if sum((check.roles or {})[r] for r in kept) >= SURE_OF_ROLE:
            break
        kept.append(role)
    return tuple(sorted(kept, key=ROLES.index))


def _chosen(garment: Garment, near_face: Sequence[int]) -> list[int]:
    count = len(garment.colours)
    wrong = [n for n in near_face if not 1 <= n <= count]
    if wrong:
        raise TenterError(
            ngettext(
                "colour {number} of the garment was asked for, and it has one colour",
                "colour {number} of the garment was asked for, and it has {count} colours, counted from 1",
                count,
                number=wrong[0],
            )
        )
    return sorted({n - 1 for n in near_face}) or list(range(count))


def _answer(found: MeasuredRole, colours: Sequence[GarmentColour]) -> GarmentAnswer:
    """Return the role as measured where it is likely enough: a wider interval never makes an answer out of none."""
    read_well = all(max(colour.half_width_90) <= READ_WELL for colour in colours)
    sure = SURE_IN_A_PHOTO if colours[0].known_by is KnownBy.PHOTO else SURE_OF_ROLE
    return found.role if read_well or steady(found.certainty) >= sure else GarmentAnswer.CANNOT_TELL


def _unclear(known_by: KnownBy) -> Unclear:
    return Unclear.NAME_IS_WIDE if known_by is KnownBy.NAME else Unclear.COLOUR_IS_UNSURE


def _nearest(palette: PersonalPalette, lab: Lab) -> NearestColour | None:
    among = (*palette.colours, *palette.borrowed)
    if not among:
        return None
    apart = steady(np.asarray(delta_e_2000(np.array([c.lab for c in among]), np.array(lab))))
    at = int(np.argmin(apart))
    return NearestColour(among[at], float(apart[at]))


def hardly_differs(nearest: NearestColour, answer: GarmentAnswer) -> bool:
    """Tell whether a garment is as good as the palette's nearest colour.

    What is not worn near the face is not as good as a white that is, however near: an optic white beside one of snow.
    """
    another = nearest.colour.part is Part.WHITE and answer is not GarmentAnswer.NEAR_FACE
    return nearest.delta_e <= HARDLY_DIFFERS and not another


def _seen(nearest: NearestColour | None, answer: GarmentAnswer) -> PaletteColour | None:
    """Return the colour that was seen on the client and hardly differs, if there is one."""
    if nearest is None or not hardly_differs(nearest, answer) or nearest.colour.basis is not Basis.SEEN:
        return None
    return nearest.colour


def _instead(palette: PersonalPalette, lab: Lab) -> str:
    """Return what takes the place of the staple that a colour hardly differs from, or of its hue, or ""."""
    for staple in palette.staples:
        near = steady(float(delta_e_2000(np.array(staple.lab), np.array(lab)))) <= HARDLY_DIFFERS
        if near and staple.answer is StapleAnswer.SWAP:
            return staple.swap_for
    family = hue_family(np.array(lab))
    return next((missing.instead for missing in palette.missing if missing.hue_family is family), "")


def _parts(palette: PersonalPalette, known: Known, garment: Garment, chosen: Sequence[int]) -> tuple[PartCheck, ...]:
    parts = []
    for number, colour in enumerate(garment.colours):
        found = measured_role(palette, known, [colour])
        parts.append(
            PartCheck(
                lab=colour.lab,
                area=colour.area,
                answer=_answer(found, [colour]),
                suitability=found.suitability,
                interval_90=found.interval,
                nearest=_nearest(palette, colour.lab),
                near_face=number in chosen,
            )
        )
    return tuple(parts)
