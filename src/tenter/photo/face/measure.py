"""The way in: a photograph's path to the colours of a face, each with its interval."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from tenter.arrays import FloatArray
from tenter.colorimetry.typology import individual_typology_angle, ita_class
from tenter.language import N_, _
from tenter.measured.basis import CalibrationBasis
from tenter.photo import reasons as reasons_of_photo
from tenter.photo.cards import CardChoice, CardSearch, ChartKind, look_for_card
from tenter.photo.face import gate
from tenter.photo.face.recolouring import recolouring
from tenter.photo.face.result import CardLightFinding, Difference, FaceMeasurement, RegionColour, TypologyAngle
from tenter.photo.face.smoothing import filter_reasons
from tenter.photo.face_light.same_light import same_light
from tenter.photo.files.loading import Photo, load_photo
from tenter.photo.patches.correction import LIGHTEST, TRUE_SRGB
from tenter.photo.regions.hair import NO_HAIR_FOUND, HairFinding, look_for_hair
from tenter.photo.regions.interval_parts import ColourInParts
from tenter.photo.regions.landmarks import FaceSearch, face_sides, find_face
from tenter.photo.regions.light_signs import NO_SIGNS, light_signs
from tenter.photo.regions.reading import RegionReading, in_light, read_colour, step
from tenter.photo.regions.readings import asymmetry_of, readings_of
from tenter.photo.regions.regions import (
    OF_MESH,
    SKIN,
    Patch,
    Region,
    RegionPixels,
    outlines,
    read_patch,
    read_region,
    region_patch,
    unusable,
)
from tenter.photo.regions.request import PLAIN_REQUEST, FaceRequest

_COMPARED = (
    (Region.CHEEK_RIGHT, Region.CHEEK_LEFT),
    (Region.JAW_RIGHT, Region.JAW_LEFT),
    *((Region.FOREHEAD, region) for region in (*SKIN[1:], Region.LIPS)),
)
# How far shading and gloss move the ITA read this way from that of the bare skin, in nine of ten rendered faces.
ITA_SHADING_DEGREES = 11.0
_TYPOLOGY_REGIONS = (Region.FOREHEAD, Region.CHEEK_LEFT, Region.CHEEK_RIGHT)  # where a cloth changes the skin least


@dataclass(frozen=True, slots=True)
class _Looked:
    """What was looked for in a picture: the pixels of each region, their outlines, and how it stands with the hair."""

    pixels: dict[Region, RegionPixels]
    outlines: dict[Region, tuple[FloatArray, ...]]
    hair: HairFinding


def measure_photo(
    path: Path, chart: ChartKind | CardChoice = ChartKind.CLASSIC24, request: FaceRequest = PLAIN_REQUEST
) -> FaceMeasurement:
    """Return the colours of the one face in the photograph at `path`; `request`: what to leave out, and the hair.

    Raises
    ------
    UnreadableInput
        If the file cannot be read. A photograph that is read but cannot be measured is refused in the result.
    MissingPart
        If the part that finds faces is not installed.
    """
    return measure_face(load_photo(path), chart, request)


def measure_face(
    photo: Photo, chart: ChartKind | CardChoice = ChartKind.CLASSIC24, request: FaceRequest = PLAIN_REQUEST
) -> FaceMeasurement:
    """Return the colours of the one face in a photograph that is already read; otherwise as `measure_photo`.

    Raises
    ------
    MissingPart
        If the part that finds faces is not installed.
    UnreadableInput
        If the values kept for the card's serial cannot be read.
    """
    return measure_found(photo, look_for_card(photo, chart), find_face(photo.rgb), request)


def measure_found(
    photo: Photo, card: CardSearch, search: FaceSearch, request: FaceRequest = PLAIN_REQUEST
) -> FaceMeasurement:
    """Return the colours of the one face in a photograph of which card and face were looked for already."""
    looked = _look(photo, search, request)
    correction = card.correction or TRUE_SRGB
    readings = {region: read_colour(read, correction) for region, read in looked.pixels.items() if not read.reason}
    signs = NO_SIGNS
    if correction.basis is not CalibrationBasis.RELATIVE and search.mesh_px is not None:
        signs = light_signs(photo, correction, search.mesh_px, {region: r.lab for region, r in readings.items()})
    reasons = _reasons(photo, card, search, looked, readings) + gate.same_light_reasons(signs, correction)
    readings = {region: in_light(reading, signs) for region, reading in readings.items()}
    recoloured = recolouring({region: reading.lab for region, reading in readings.items()})
    reasons += recoloured.reasons()
    readings = {region: recoloured.doubting(region, reading) for region, reading in readings.items()}
    against = same_light(photo, card.calibration, search, {region: r.lab for region, r in readings.items()})
    reasons += against.reasons()
    colours = {region: ColourInParts.of(against.doubting(reading)) for region, reading in readings.items()}
    refused = any(reason.refuses for reason in reasons)
    basis = CalibrationBasis.RELATIVE if refused else correction.basis
    absolute, calibrated = basis is not CalibrationBasis.RELATIVE, correction.basis is CalibrationBasis.CHART
    return FaceMeasurement(
        reasons=tuple(reasons),
        basis=basis,
        regions={region: _colour(region, looked.pixels, colours, absolute) for region in Region},
        relative=differences_of(colours, calibrated),
        ita=typology_of(colours) if absolute else None,
        chart=card.finding,
        readings=readings_of(colours, absolute, calibrated),
        asymmetry=asymmetry_of(colours, calibrated),
        hair=looked.hair,
        outlines=looked.outlines,
        card_beside_face=_card_beside_face(card.finding.corners_px, search, photo.reduction),
        card_light=CardLightFinding.of(against),
    )


def _card_beside_face(corners_px: FloatArray | None, search: FaceSearch, reduction: float) -> FloatArray | None:
    """Return the corners (4, 2) of the card in widths of the face, from between its sides, along them and across."""
    if corners_px is None or search.mesh_px is None:
        return None
    right, left = face_sides(search.mesh_px * reduction)
    along = (left - right) / np.sum((left - right) ** 2)
    from_middle = corners_px - (right + left) / 2
    return np.stack([from_middle @ along, from_middle @ np.array([-along[1], along[0]])], axis=1)


def _reasons(
    photo: Photo, card: CardSearch, search: FaceSearch, looked: _Looked, readings: Mapping[Region, RegionReading]
) -> list[reasons_of_photo.Reason]:
    """Return what speaks against file, card, face and picture, in this order."""
    reasons = [*reasons_of_photo.file_reasons(photo.notes), *card.reasons, *gate.face_reasons(search)]
    if search.mesh_px is not None:
        reasons += gate.picture_reasons(photo.rgb, search.mesh_px, looked.pixels)
    reasons += filter_reasons(photo, search, card.finding.corners_px)
    return reasons + gate.light_reasons({region: float(reading.lab[0]) for region, reading in readings.items()})


def _look(photo: Photo, search: FaceSearch, request: FaceRequest) -> _Looked:
    """Cut out every region that is wished for."""
    mesh = search.mesh_px
    if mesh is None:
        return _Looked({}, {}, NO_HAIR_FOUND)
    patches: dict[Region, Patch] = {region: region_patch(photo.rgb.shape, mesh, region) for region in OF_MESH}
    status, patch = look_for_hair(photo, mesh, request)
    if patch is not None:
        patches[Region.HAIR] = patch
    excluded = [exclusion.outline / photo.reduction for exclusion in request.exclusions]
    around = {region: outlines(patch, photo.reduction) for region, patch in patches.items()}
    hair = HairFinding(status, around.pop(Region.HAIR, ()))
    pixels: dict[Region, RegionPixels] = {region: read_region(photo, mesh, region, excluded) for region in OF_MESH}
    pixels[Region.HAIR] = (
        read_patch(photo, patch, Region.HAIR, excluded)
        if patch is not None and hair.measured
        else unusable(Region.HAIR, hair.note)
    )
    dropped = {region: unusable(region, _("left out, as you asked")) for region in request.dropped}
    return _Looked(pixels | dropped, around | {Region.HAIR: hair.outlines}, hair)


def _colour(
    region: Region, pixels: Mapping[Region, RegionPixels], colours: Mapping[Region, ColourInParts], absolute: bool
) -> RegionColour:
    if region not in pixels:
        return RegionColour(None, None, 0, _("no single upright face was found"))
    count = len(pixels[region].code)
    if region not in colours:
        return RegionColour(None, None, count, pixels[region].reason)
    if not absolute:
        return RegionColour(None, None, count, _("no colour without an accepted card; see the differences"))
    found = colours[region]
    if found.lab[0] > LIGHTEST:
        return RegionColour(None, None, count, _(_LIGHTER_THAN_WHITE))
    return RegionColour(found.lab, found.half_width_90, count, None, pixels[region].caution, found)


_LIGHTER_THAN_WHITE = N_(
    "lighter than a perfect white: this place and the card are not in the same light; hold the card flat beside the jaw"
)


def differences_of(colours: Mapping[Region, ColourInParts], calibrated: bool) -> tuple[Difference, ...]:
    """Return how regions differ from one another; `calibrated`: whether a card says how differences are scaled."""
    return tuple(
        Difference(origin, to, *step(colours[origin], colours[to], calibrated))
        for origin, to in _COMPARED
        if origin in colours and to in colours
    )


def typology_of(colours: Mapping[Region, ColourInParts]) -> TypologyAngle | None:
    """Return the ITA of the skin itself, from the forehead and whatever is lightest of forehead and cheeks.

    ITA is made for a contact instrument. In a photograph shading darkens most of a face, so the places the light falls
    on are taken, and what shading still does is part of the interval.
    """
    labs = {region: colours[region].lab for region in _TYPOLOGY_REGIONS if region in colours}
    if not labs:
        return None
    lightest = max(labs, key=lambda region: float(labs[region][0]))
    used = {lightest, Region.FOREHEAD} & labs.keys()
    lab = np.mean([labs[region] for region in used], axis=0)
    half = colours[lightest].half_width_90
    steps = np.array([[half[0], 0, 0], [0, 0, half[2]]])
    degrees = float(individual_typology_angle(lab))
    read = np.abs(individual_typology_angle(lab + steps) - individual_typology_angle(lab - steps)) / 2
    width = float(np.hypot(np.linalg.norm(read), ITA_SHADING_DEGREES))
    return TypologyAngle(degrees, (degrees - width, degrees + width), ita_class(degrees))
