"""A client's photograph measured, in the background: what is asked for, and what is written down of it."""

from collections.abc import Mapping
from dataclasses import asdict, dataclass, field
from typing import Any

from tenter.photo.card import CardChoice, ChartKind
from tenter.photo.loading import photo_from_bytes
from tenter.photo.measure import measure_face
from tenter.photo.reference import CardValues
from tenter.photo.regions import Region
from tenter.photo.request import Exclusion, ExclusionKind, FaceRequest, HairChoice
from tenter.report.face_picture import face_picture, overlay_svg
from tenter.web import pictures, tries
from tenter.web.models import Photograph, Picture

_HAIR = {None: HairChoice.UNCONFIRMED, True: HairChoice.CONFIRMED, False: HairChoice.NONE}


@dataclass(frozen=True, slots=True)
class Corrections:
    """What the consultant says about a photograph's regions.

    dropped: regions that are left out. excluded: outlines, in pixels of the picture as it is drawn; nothing within
    them is read. hair: whether what was found as hair is hair; None until she has said.
    """

    dropped: tuple[str, ...] = ()
    excluded: tuple[tuple[tuple[float, float], ...], ...] = ()
    hair: bool | None = None


@dataclass(frozen=True, slots=True)
class Result:
    """What is kept of a measurement, all of it sealed.

    document: the public JSON. picture: a `FacePicture` as plain values, for the page. lines: what is drawn upon the
    photograph, an SVG; of the mesh only the regions' outlines are in it. corrections: those it was measured with.
    """

    document: Mapping[str, Any]
    picture: Mapping[str, Any]
    lines: str
    corrections: Corrections = field(default_factory=Corrections)


def result_of(row: Photograph) -> Result | None:
    """Return what was measured, or None before that; raises `Tampered` or `Locked`."""
    said = tries.result_of(row)
    if said is None:
        return None
    return Result(said["document"], said["picture"], said["lines"], corrections_from(said["corrections"]))


def corrections_of(row: Photograph) -> Corrections:
    """Return what the consultant has said of a photograph's regions; raises as `result_of`."""
    said = tries.corrections_of(row)
    return corrections_from(said) if said else Corrections()


def corrections_from(said: Mapping[str, Any]) -> Corrections:
    """Return corrections from their JSON."""
    outlines = tuple(tuple((float(x), float(y)) for x, y in outline) for outline in said["excluded"])
    return Corrections(tuple(map(str, said["dropped"])), outlines, said["hair"])


def measure(pk: int, turn: int) -> None:
    """Measure a photograph: try number `turn`."""
    tries.measure(Photograph, pk, turn, _measured)


def _measured(row: Photograph, mine: Any) -> Result:
    corrections = corrections_of(row)
    photo = photo_from_bytes(pictures.shown(row.name), "the picture")
    tries.so_far(mine, tries.OPENED)
    measured = measure_face(photo, card_of(row), request_of(corrections, photo.reduction))
    tries.so_far(mine, tries.MEASURED)
    picture = face_picture(measured, photo)
    return Result(measured.to_json(), asdict(picture), overlay_svg(picture), corrections)


def card_of(row: Picture) -> CardChoice:
    """Return what is said of the card in a photograph."""
    kind = ChartKind(row.chart)
    return CardChoice(kind, CardValues(row.card)) if kind is ChartKind.CLASSIC24 and row.card else CardChoice(kind)


def request_of(corrections: Corrections, reduction: float) -> FaceRequest:
    """Return the wishes for a measurement. What lies in an outline is not said: it may be of somebody's health."""
    outlines = [tuple((x * reduction, y * reduction) for x, y in outline) for outline in corrections.excluded]
    return FaceRequest(
        exclusions=tuple(Exclusion(ExclusionKind.OTHER, outline) for outline in outlines),
        dropped=frozenset(Region(name) for name in corrections.dropped),
        hair=_HAIR[corrections.hair],
    )
