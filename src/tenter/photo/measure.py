"""The way in: a photograph's path to the colours of a face, each with its interval."""

from dataclasses import dataclass
from pathlib import Path

import numpy as np

from tenter.arrays import FloatArray
from tenter.colorimetry.typology import individual_typology_angle, ita_class
from tenter.photo import gate
from tenter.photo.card import CardChoice, ChartKind, look_for_card, require_supported
from tenter.photo.correction import TRUE_SRGB, Basis, Correction
from tenter.photo.landmarks import FaceSearch, find_face
from tenter.photo.loading import Photo, load_photo
from tenter.photo.regions import SKIN, Region, RegionPixels, read_region
from tenter.photo.result import Difference, FaceMeasurement, RegionColour, TypologyAngle
from tenter.photo.uncertainty import Evidence, half_width_90, placement, relative_half_width_90

_COMPARED = (
    (Region.CHEEK_RIGHT, Region.CHEEK_LEFT),
    (Region.JAW_RIGHT, Region.JAW_LEFT),
    *((Region.FOREHEAD, region) for region in (*SKIN[1:], Region.LIPS)),
)
_SEEN_BY_SKIN_MATRIX = frozenset({*SKIN, Region.LIPS})
# How far shading and gloss move the ITA read this way from that of the bare skin, in nine of ten rendered faces.
ITA_SHADING_DEGREES = 11.0
_TYPOLOGY_REGIONS = (Region.FOREHEAD, Region.CHEEK_LEFT, Region.CHEEK_RIGHT)  # where a cloth changes the skin least


@dataclass(frozen=True, slots=True)
class _Reading:
    """A region's colour before it is judged: Lab (3,), how far it moves across the region (3,), and its evidence."""

    lab: FloatArray
    placement: FloatArray
    evidence: Evidence


def measure_photo(path: Path, chart: ChartKind | CardChoice = ChartKind.CLASSIC24) -> FaceMeasurement:
    """Return the colours of the one face in the photograph at `path`.

    Raises
    ------
    TenterError
        If the kind of chart is not supported yet.
    UnreadableInput
        If the file cannot be read. A photograph that is read but cannot be measured is refused in the result.
    MissingPart
        If the part that finds faces is not installed.
    """
    require_supported(chart)
    return measure_face(load_photo(path), chart)


def measure_face(photo: Photo, chart: ChartKind | CardChoice = ChartKind.CLASSIC24) -> FaceMeasurement:
    """Return the colours of the one face in a photograph that is already read; otherwise as `measure_photo`."""
    card = look_for_card(photo, chart)
    search = find_face(photo.rgb)
    reasons = [*card.reasons, *gate.face_reasons(search)]
    pixels = _region_pixels(photo, search)
    if search.mesh_px is not None:
        reasons += gate.picture_reasons(photo.rgb, search.mesh_px, pixels)
    readings = {
        region: _read(read, card.correction or TRUE_SRGB) for region, read in pixels.items() if read.reason is None
    }
    reasons += gate.light_reasons({region: float(reading.lab[0]) for region, reading in readings.items()})
    basis = card.correction.basis if card.correction else Basis.RELATIVE
    absolute = basis is not Basis.RELATIVE and not any(reason.refuses for reason in reasons)
    return FaceMeasurement(
        reasons=tuple(reasons),
        basis=basis if absolute else Basis.RELATIVE,
        regions={region: _colour(region, pixels, readings, absolute) for region in Region},
        relative=_differences(readings, calibrated=basis is Basis.CHART),
        ita=_typology(readings) if absolute else None,
        chart=card.finding,
    )


def _region_pixels(photo: Photo, search: FaceSearch) -> dict[Region, RegionPixels]:
    mesh = search.mesh_px
    return {} if mesh is None else {region: read_region(photo, mesh, region) for region in Region}


def _read(pixels: RegionPixels, correction: Correction) -> _Reading:
    """Return a region's colour; without a card, as if the camera wrote true sRGB."""
    lab = correction.lab(pixels.code, skin=pixels.region in _SEEN_BY_SKIN_MATRIX)
    evidence = Evidence(
        correction.error,
        correction.metamerism(pixels.code),
        pixels.log_spread,
        pixels.region in SKIN,
        correction.basis,
    )
    return _Reading(lab, placement(lab, pixels.log_spread), evidence)


def _colour(
    region: Region, pixels: dict[Region, RegionPixels], readings: dict[Region, _Reading], absolute: bool
) -> RegionColour:
    if region not in pixels:
        return RegionColour(None, None, 0, "no single upright face was found")
    count = len(pixels[region].code)
    if region not in readings:
        return RegionColour(None, None, count, pixels[region].reason)
    if not absolute:
        return RegionColour(None, None, count, "no colour without an accepted card; see the differences")
    reading = readings[region]
    return RegionColour(reading.lab, half_width_90(reading.lab, reading.evidence), count, None)


def _differences(readings: dict[Region, _Reading], calibrated: bool) -> tuple[Difference, ...]:
    return tuple(
        _difference(origin, to, readings, calibrated)
        for origin, to in _COMPARED
        if origin in readings and to in readings
    )


def _difference(origin: Region, to: Region, readings: dict[Region, _Reading], calibrated: bool) -> Difference:
    one, other = readings[origin], readings[to]
    delta = other.lab - one.lab
    half = relative_half_width_90(delta, np.stack([one.placement, other.placement]), calibrated)
    return Difference(origin, to, delta, half)


def _typology(readings: dict[Region, _Reading]) -> TypologyAngle | None:
    """Return the ITA of the skin itself, from the forehead and whatever is lightest of forehead and cheeks.

    ITA is made for a contact instrument. In a photograph shading darkens most of a face, so the places the light falls
    on are taken, and what shading still does is part of the interval.
    """
    labs = {region: readings[region].lab for region in _TYPOLOGY_REGIONS if region in readings}
    if not labs:
        return None
    lightest = max(labs, key=lambda region: float(labs[region][0]))
    used = {lightest, Region.FOREHEAD} & labs.keys()
    lab = np.mean([labs[region] for region in used], axis=0)
    half = half_width_90(lab, readings[lightest].evidence)
    steps = np.array([[half[0], 0, 0], [0, 0, half[2]]])
    degrees = float(individual_typology_angle(lab))
    read = np.abs(individual_typology_angle(lab + steps) - individual_typology_angle(lab - steps)) / 2
    width = float(np.hypot(np.linalg.norm(read), ITA_SHADING_DEGREES))
    return TypologyAngle(degrees, (degrees - width, degrees + width), ita_class(degrees))
