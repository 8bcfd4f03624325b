"""What is said of a garment as JSON: the words, and the numbers that they stand on."""

from tenter.consultation.axes import Axis
from tenter.consultation.garments.check import GarmentCheck, NearestColour, PartCheck
from tenter.consultation.garments.shop_lamp import UnderLamp
from tenter.report.on_screen.garment_off import garment_off_words
from tenter.report.on_screen.garment_words import confidence, garment_words, rescue_words


def garment_document(check: GarmentCheck, lamp: UnderLamp | None = None) -> dict[str, object]:
    """Return what is said of a garment as plain values for JSON.

    off and its intervals: in bench units. suitability, roles and unlike: 0 to 1. nearest and lamp: ΔE00. None where
    nothing can be told.
    """
    words = garment_words(check, lamp)
    return {
        "answer": str(check.answer),
        "suitability": check.suitability,
        "interval_90": None if check.interval_90 is None else list(check.interval_90),
        "off": {str(axis): check.off[axis].mean if check.off else None for axis in Axis},
        "rescue": rescue_words(check) or None,
        "nearest": _nearest_document(check.nearest),
        "off_interval_90": {
            str(axis): [check.off[axis].low, check.off[axis].high] if check.off else None for axis in Axis
        },
        "off_words": (garment_off_words(check.off, check.answer, check.held) or None) if check.off else None,
        "roles": None if check.roles is None else {str(role): p for role, p in check.roles.items()},
        "confidence": confidence(check),
        "unlike": check.unlike,
        "between": [colour.name for colour in check.between],
        "goes_with": [colour.name for colour in check.goes_with],
        "held": str(check.held) if check.held else None,
        "instead": check.instead or None,
        "seen": check.seen.name if check.seen else None,
        "known_by": str(check.known_by),
        "unclear": str(check.unclear) if check.unclear else None,
        "reasons": list(check.reasons),
        "parts": [_part_document(part) for part in check.parts],
        "lamp": None if lamp is None else _lamp_document(lamp),
        "text": words.text,
    }


def _nearest_document(nearest: NearestColour | None) -> dict[str, object] | None:
    if nearest is None:
        return None
    colour = nearest.colour
    return {
        "name": colour.name,
        "lab": list(colour.lab),
        "role": str(colour.part),
        "cloth": colour.cloth,
        "delta_e_2000": nearest.delta_e,
    }


def _part_document(part: PartCheck) -> dict[str, object]:
    return {
        "lab": list(part.lab),
        "area": part.area,
        "answer": str(part.answer),
        "suitability": part.suitability,
        "interval_90": list(part.interval_90),
        "nearest": _nearest_document(part.nearest),
        "near_face": part.near_face,
    }


def _lamp_document(lamp: UnderLamp) -> dict[str, object]:
    return {
        "lamp": lamp.lamp,
        "illuminant": lamp.illuminant or None,
        "lab": None if lamp.lab is None else list(lamp.lab),
        "delta_e_2000": lamp.delta_e,
        "moves": None if lamp.moves is None else {str(axis): step for axis, step in lamp.moves.items()},
        "answer_there": str(lamp.role) if lamp.role else None,
    }
