"""What the page of a photograph says, beside what its picture says: contrast, differences, and what is left out."""

import json
from collections.abc import Mapping
from typing import Any

from django.utils.safestring import SafeString, mark_safe

from tenter.consultation.contrast import contrast_level
from tenter.consultation.face import Face
from tenter.errors import UnreadableInput
from tenter.report.face_colours import face_colours, region_name
from tenter.web.measuring import Result


def said(result: Result) -> dict[str, Any]:
    """Return what a measured photograph's page shows."""
    keys = list(result.document["regions"])
    regions = [
        {**drawn, "key": key, "dropped": key in result.corrections.dropped}
        for key, drawn in zip(keys, result.picture["regions"], strict=True)
    ]
    return {
        "shown": {**result.picture, "regions": regions},
        "absolute": any(drawn["values"] for drawn in regions),
        "lines": _safe(result.lines),
        "contrast": _contrast(result.document),
        "relative": [_difference(line) for line in result.document["relative"]],
        "excluded": json.dumps(result.corrections.excluded),
    }


def _safe(lines: str) -> SafeString:
    """Return the lines as they are: they came out of a sealed text, drawn by us, with every name in them escaped."""
    return mark_safe(lines)


def _contrast(document: Mapping[str, Any]) -> list[str]:
    try:
        face = Face.from_json(document)
    except UnreadableInput:
        return []
    stated = face_colours(face, contrast_level(face), None).statements
    return [stated[0].text] if contrast_level(face) else []


def _difference(line: Mapping[str, Any]) -> dict[str, Any]:
    spread = zip(line["delta_lab"], line["interval_90"], strict=True)
    return {
        "name": f"{region_name(line['from'])} to {region_name(line['to'])}",
        "values": [f"{delta:+.1f} ± {(high - low) / 2:.1f}" for delta, (low, high) in spread],
    }
