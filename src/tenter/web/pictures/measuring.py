"""A client's photograph measured, in the background: what is asked for, and what is written down of it."""

from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass, field, replace
from typing import Any

from django.db.models import QuerySet
from django.utils.translation import gettext as _

from tenter.measured.written_face import WrittenFace
from tenter.photo.card.learned_camera import LearnedCamera
from tenter.photo.cards import CardChoice, ChartKind
from tenter.photo.face.measure import measure_face
from tenter.photo.face.result import RegionColour
from tenter.photo.files.loading import photo_from_bytes
from tenter.photo.patches.reference import CardValues
from tenter.photo.places import Box
from tenter.photo.reasons import NOTES, Code
from tenter.photo.regions.regions import Region
from tenter.photo.regions.request import Exclusion, ExclusionKind, FaceRequest, HairChoice
from tenter.report.pictures.face_picture import face_picture
from tenter.web.models import Photograph, Picture
from tenter.web.pictures import phone_learning, pictures, tries

POINTED_AT = (ChartKind.GREY, ChartKind.PAPER)
WITH_PATCHES = (ChartKind.CLASSIC24, ChartKind.OWN)
_HAIR = {None: HairChoice.UNCONFIRMED, True: HairChoice.CONFIRMED, False: HairChoice.NONE}


@dataclass(frozen=True, slots=True)
class Corrections:
    """What the consultant says about a photograph's regions.

    dropped: regions that are left out. excluded: outlines, in pixels of the picture as it is drawn; nothing within
    them is read. hair: whether what was found as hair is hair; None until that is said. card_at: where the grey card or
    the paper lies, in pixels of the upright original: left, top, width, height; None to search for it. evenly_lit: the
    consultant has looked at the 24-patch card and says that nothing shades or covers it.
    """

    dropped: tuple[str, ...] = ()
    excluded: tuple[tuple[tuple[float, float], ...], ...] = ()
    hair: bool | None = None
    card_at: Box | None = None
    evenly_lit: bool = False


@dataclass(frozen=True, slots=True)
class FaceResult:
    """What is kept of a measurement, all of it sealed.

    document: the public JSON, which `face` reads. picture: a `FacePicture` as plain values, for the page; of the mesh
    only the regions' outlines are in it. reduction: how many pixels of the upright original one of the picture's is.
    corrections: those it was measured with.
    """

    document: Mapping[str, Any]
    picture: Mapping[str, Any]
    reduction: float = 1.0
    corrections: Corrections = field(default_factory=Corrections)

    @property
    def face(self) -> WrittenFace:
        """What was measured of the face."""
        return WrittenFace.from_json(self.document)


def face_result_of(row: Photograph) -> FaceResult | None:
    """Return what was measured, or None before that; raises `Tampered` or `Locked`."""
    said = tries.result_of(row)
    if said is None:
        return None
    corrections = corrections_from(said["corrections"])
    return FaceResult(said["document"], said["picture"], said.get("reduction", 1.0), corrections)


def face_corrections_of(row: Photograph) -> Corrections:
    """Return what the consultant has said of a photograph's regions; raises as `face_result_of`."""
    said = tries.corrections_of(row)
    return corrections_from(said) if said else Corrections()


def corrections_from(said: Mapping[str, Any]) -> Corrections:
    """Return corrections from their JSON."""
    outlines = tuple(tuple((float(x), float(y)) for x, y in outline) for outline in said["excluded"])
    box = said.get("card_at")
    at = box and _box(*map(float, box))
    return Corrections(tuple(map(str, said["dropped"])), outlines, said["hair"], at, said.get("evenly_lit", False))


def _box(left: float, top: float, width: float, height: float) -> Box:
    return left, top, width, height


def measure_photograph(pk: int, turn: int) -> None:
    """Measure a photograph: try number `turn`."""
    tries.measure_try(Photograph, pk, turn, _measured)


def _measured(row: Photograph, mine: QuerySet[Photograph]) -> FaceResult:
    corrections = face_corrections_of(row)
    photo = photo_from_bytes(pictures.shown_picture(row.name), _("the picture"))
    tries.note_progress(mine, tries.OPENED)
    measured = measure_face(photo, face_card_of(row), request_of(corrections, photo.reduction))
    tries.note_progress(mine, tries.MEASURED)
    picture = face_picture(measured, photo)
    return FaceResult(measured.to_json(), asdict(picture), photo.reduction, corrections)


def face_card_of(row: Photograph) -> CardChoice:
    """Return the card that a client's photograph is measured by, with what was learned of the phone that took it."""
    corrections = face_corrections_of(row)
    return replace(card_choice_of(row, corrections.card_at, corrections.evenly_lit), camera=camera_of_photograph(row))


def forehead_of(row: Photograph) -> RegionColour | None:
    """Return what was measured of the forehead; None where nothing was measured; raises as `face_result_of`."""
    found = face_result_of(row)
    return None if found is None else RegionColour.of_written(found.face.regions[Region.FOREHEAD])


def card_choice_of(row: Picture, at: Box | None = None, evenly_lit: bool = False) -> CardChoice:
    """Return what is said of the card in a photograph; `at` is where a grey card or a paper was pointed at.

    evenly_lit: somebody has looked and says that the card is; only a card of patches is ever suspected of the contrary.
    """
    kind = ChartKind(row.chart)
    if kind is ChartKind.CLASSIC24:
        values = CardValues(row.card) if row.card else CardValues.MEAN_OF_30
        return CardChoice(kind, values, evenly_lit=evenly_lit)
    if kind is ChartKind.OWN:
        return CardChoice(kind, serial=int(row.card) if row.card.isdigit() else None, evenly_lit=evenly_lit)
    return CardChoice(kind, at_px=at if kind in POINTED_AT else None)


def camera_of_photograph(row: Photograph) -> LearnedCamera | None:
    """Return the phone that took a photograph, if it was named and is still learned; it serves the 24-patch card."""
    if not row.phone or row.chart != ChartKind.CLASSIC24:
        return None
    return phone_learning.by_name(row.client.owner).get(row.phone)


def only_covered(codes: Iterable[str]) -> bool:
    """Whether a suspected shadow is all that speaks against the card, and so the photograph; cloths may add theirs.

    codes: those of the reasons.
    """
    return set(codes) & set(Code) - NOTES == {Code.CHART_COVERED}


def request_of(corrections: Corrections, reduction: float) -> FaceRequest:
    """Return the wishes for a measurement. What lies in an outline is not said: it may be of somebody's health.

    reduction: pixels of the upright original to one of the picture.
    """
    outlines = [tuple((x * reduction, y * reduction) for x, y in outline) for outline in corrections.excluded]
    return FaceRequest(
        exclusions=tuple(Exclusion(ExclusionKind.OTHER, outline) for outline in outlines),
        dropped=frozenset(Region(name) for name in corrections.dropped),
        hair=_HAIR[corrections.hair],
    )
