"""What the page of a photograph says, beside what its picture says: contrast, differences, and what is left out."""

import json
from dataclasses import asdict
from typing import Any

from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from tenter.consultation.client.contrast import contrast_level
from tenter.consultation.client.face import Face
from tenter.errors import UnreadableInput
from tenter.measured.basis import CalibrationBasis
from tenter.measured.face_parts import WrittenDifference
from tenter.measured.written_face import WrittenFace
from tenter.photo.files.loading import photo_from_bytes
from tenter.photo.reasons import Code
from tenter.report.pictures.face_colours import face_colours, region_name
from tenter.report.pictures.face_drawing import part_jpeg
from tenter.report.pictures.face_overlay import face_overlay_svg, part_px
from tenter.report.pictures.face_picture import FacePicture
from tenter.report.pictures.shares import WHOLE
from tenter.report.words.wording import change_within
from tenter.web.photographs.correction_forms import BOX, drawing_words
from tenter.web.pictures.measuring import FaceResult, only_covered

_BASES = {
    CalibrationBasis.GREY: gettext_lazy("The light is known from a grey or a white alone, so the intervals are wide."),
    CalibrationBasis.RELATIVE: gettext_lazy("The light is not known without a card, so only differences are given."),
}
_UNFOUND = {str(Code.NEUTRAL_NOT_FOUND), str(Code.NEUTRAL_SEVERAL)}


def photo_page_content(result: FaceResult, whole: bool = False, asked: str = "") -> dict[str, Any]:
    """Return what a measured photograph's page shows: of the photograph all, or the part with the head and the card.

    asked: the key of the region that is outlined, if any.
    """
    picture = FacePicture.from_plain(result.picture)
    view = WHOLE if whole else picture.view
    face = result.face
    regions = [
        {**asdict(drawn), "key": key, "dropped": key in result.corrections.dropped}
        for key, drawn in zip(face.regions, picture.regions, strict=True)
    ]
    one = next((region for region in regions if region["key"] == asked), None)
    return {
        "one": one,
        "measured": [region for region in regions if region["hex"]],
        "unmeasured": [region for region in regions if not region["hex"]],
        "light": _light_verdict(face),
        "shown": {**result.picture, "regions": regions},
        "absolute": any(drawn["values"] for drawn in regions),
        "found": any(drawn["outlines"] for drawn in regions),
        "lines": _safe(face_overlay_svg(picture, view, one["number"] if one else None)),
        "part": part_px(picture, view),
        "cut": picture.view != WHOLE,
        "whole": whole or picture.view == WHOLE,
        "original": [round(size * result.reduction) for size in (picture.width, picture.height)],
        "box": list(zip(BOX.items(), result.corrections.card_at or (None,) * len(BOX), strict=True)),
        "only_covered": only_covered(face.codes),
        "called_even": result.corrections.evenly_lit,
        "unfound": bool(face.codes & _UNFOUND),
        "contrast": contrast_lines(face),
        "relative": [_difference(line) for line in face.relative or ()],
        "drawing": drawing_words(),
        "excluded": json.dumps(result.corrections.excluded),
    }


def _light_verdict(face: WrittenFace) -> str:
    """Return in a sentence what the card says of the light of an accepted photograph."""
    if not face.accepted:
        return ""
    if face.basis is not CalibrationBasis.CHART:
        return str(_BASES[face.basis])
    if face.reasons:
        return _("The light can be used, with what is said below.")
    return _("The light can be used: the card shows nothing against it.")


def part_of(picture: bytes, result: FaceResult | None) -> bytes:
    """Return the part of a photograph that its page shows, as a file; all of it before it was measured."""
    photo = photo_from_bytes(picture, _("the picture"))
    return part_jpeg(photo, FacePicture.from_plain(result.picture).view if result else WHOLE)


def _safe(lines: str) -> SafeString:
    """Return the lines as they are: they are drawn by us, with every name in them escaped."""
    return mark_safe(lines)


def contrast_lines(measured: WrittenFace) -> list[str]:
    """Return what is said of the contrast of a measured face; nothing where none can be stated."""
    try:
        face = Face.of_written(measured)
    except UnreadableInput:
        return []
    stated = face_colours(face, contrast_level(face), None).statements
    return [stated[0].text] if contrast_level(face) else []


def _difference(line: WrittenDifference) -> dict[str, Any]:
    spread = zip(line.delta_lab, line.interval_90, strict=True)
    return {
        "name": _("%(origin)s to %(to)s") % {"origin": region_name(line.origin), "to": region_name(line.to)},
        "values": [change_within(delta, (high - low) / 2) for delta, (low, high) in spread],
    }
