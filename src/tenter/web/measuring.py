"""A photograph's row measured, in the background: which states it goes through, and what is written down of it.

Every try has a number, the row's turn. A worker writes only while its try is the row's latest, so that a task that
comes twice, or a worker that was given up on and was only slow, changes nothing.
"""

import json
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field
from typing import Any

from django.db.models import F
from django.utils import timezone

from tenter.errors import TenterError
from tenter.photo.card import CardChoice, ChartKind
from tenter.photo.loading import photo_from_bytes
from tenter.photo.measure import measure_face
from tenter.photo.reference import CardValues
from tenter.photo.regions import Region
from tenter.photo.request import Exclusion, ExclusionKind, FaceRequest, HairChoice
from tenter.report.face_picture import face_picture, overlay_svg
from tenter.web import pictures, vault
from tenter.web.models import Photograph

_OPENED, _MEASURED = 20, 90  # percent
_HAIR = {None: HairChoice.UNCONFIRMED, True: HairChoice.CONFIRMED, False: HairChoice.NONE}
State = Photograph.State


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


# -- what is sealed in the row -----------------------------------------------------------------------------------------


def result_of(row: Photograph) -> Result | None:
    """Return what was measured, or None before that; raises `Tampered` or `Locked`."""
    if not row.result:
        return None
    said = _opened(row.result, f"{row.name} result")
    return Result(said["document"], said["picture"], said["lines"], corrections_from(said["corrections"]))


def corrections_of(row: Photograph) -> Corrections:
    """Return what the consultant has said of a photograph's regions; raises as `result_of`."""
    return corrections_from(_opened(row.corrections, f"{row.name} corrections")) if row.corrections else Corrections()


def corrections_from(said: Mapping[str, Any]) -> Corrections:
    """Return corrections from their JSON."""
    outlines = tuple(tuple((float(x), float(y)) for x, y in outline) for outline in said["excluded"])
    return Corrections(tuple(map(str, said["dropped"])), outlines, said["hair"])


def sealed_corrections(name: str, corrections: Corrections) -> str:
    """Return corrections as the row of that name keeps them."""
    return _closed(asdict(corrections), f"{name} corrections")


def _closed(document: Mapping[str, Any], record: str) -> str:
    return vault.seal(json.dumps(document).encode(), record).hex()


def _opened(text: str, record: str) -> Any:
    try:
        sealed = bytes.fromhex(text)
    except ValueError:
        raise vault.Tampered from None
    return json.loads(vault.unseal(sealed, record))


# -- one try -----------------------------------------------------------------------------------------------------------


def ask_again(pk: int) -> int | None:
    """Put a photograph in line for another try and return the try's number; None where there is no such row."""
    now = Photograph.objects.filter(pk=pk)
    if not now.update(state=State.QUEUED, turn=F("turn") + 1, progress=0, heartbeat=timezone.now(), problem=""):
        return None
    return int(now.values_list("turn", flat=True)[0])


def measure(pk: int, turn: int) -> None:
    """Measure a photograph, unless this try is done, under way or no longer the latest."""
    mine = Photograph.objects.filter(pk=pk, turn=turn)
    if not mine.filter(state=State.QUEUED).update(state=State.MEASURING, heartbeat=timezone.now()):
        return
    row = mine.first()
    if row is None:
        return
    try:
        result = _measured(row, mine)
    except TenterError as error:
        _fail(mine, str(error))
    except Exception as error:
        _fail(mine, f"this photograph could not be measured ({type(error).__name__}); try another")
        raise
    else:
        done = State.DONE if result.document["accepted"] else State.REFUSED
        sealed = _closed(asdict(result), f"{row.name} result")
        mine.update(state=done, progress=100, heartbeat=timezone.now(), result=sealed, problem="")


def _measured(row: Photograph, mine: Any) -> Result:
    corrections = corrections_of(row)
    photo = photo_from_bytes(pictures.shown(row.name), "the picture")
    mine.update(progress=_OPENED, heartbeat=timezone.now())
    measured = measure_face(photo, card_of(row), request_of(corrections, photo.reduction))
    mine.update(progress=_MEASURED, heartbeat=timezone.now())
    picture = face_picture(measured, photo)
    return Result(measured.to_json(), asdict(picture), overlay_svg(picture), corrections)


def _fail(mine: Any, why: str) -> None:
    mine.update(state=State.FAILED, heartbeat=timezone.now(), problem=why[:400])


def card_of(row: Photograph) -> CardChoice:
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
