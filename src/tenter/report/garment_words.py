"""What is said of a garment, in the words of whoever wears it, and as JSON."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from tenter.arrays import steady
from tenter.consultation.axes import Axis
from tenter.consultation.garments.check import GarmentCheck, Nearest, PartCheck, Unclear, likeliest
from tenter.consultation.garments.gaps import CLOSE
from tenter.consultation.garments.garment import KnownBy
from tenter.consultation.garments.role import HARDLY_DIFFERS, Answer, Hold
from tenter.consultation.garments.shop_lamp import LAMPS, UnderLamp
from tenter.consultation.personal.colours import PaletteColour
from tenter.consultation.personal.suitability import Offset
from tenter.numerals import listed
from tenter.report.wording import sentence

_SAYS = {
    Answer.NEAR_FACE: "Yes: wear it near your face.",
    Answer.AWAY: "Wear it away from your face.",
    Answer.SMALL: "Yours in small areas: a bag, a belt, part of a print.",
    Answer.LEAVE: "Best kept away from your face, and small.",
    Answer.CANNOT_TELL: "This can't be told yet.",
}
_PLACES = {
    Answer.NEAR_FACE: "near your face",
    Answer.AWAY: "away from your face",
    Answer.SMALL: "in small areas",
    Answer.LEAVE: "hardly at all",
}
_HELD = {
    Hold.PALETTE: "It is a colour of your palette all the same.",
    Hold.SEASON: "It is a colour of your season all the same.",
    Hold.PLAIN: "Plain black and grey may be worn away from the face by anyone.",
    Hold.WHITE: "A white goes by its undertone.",
}
_ENDS = {Axis.UNDERTONE: ("cool", "warm"), Axis.DEPTH: ("dark", "light"), Axis.CLARITY: ("soft", "bright")}
RIGHT, TOUCH, MUCH = 0.35, 0.9, 1.6  # bench units: what is right, a touch off, too much, and much too much
HIGH_FROM, MEDIUM_FROM = 0.9, 0.7  # probability of the role


@dataclass(frozen=True, slots=True)
class GarmentWords:
    """The answer in one line, and what follows from it in sentences."""

    headline: str
    lines: tuple[str, ...]

    @property
    def text(self) -> str:
        """All of it."""
        return " ".join((self.headline, *self.lines))


def garment_words(check: GarmentCheck, lamp: UnderLamp | None = None) -> GarmentWords:
    """Return what is said of a garment."""
    lines = [
        *_why_not(check),
        _off_line(check),
        rescue_words(check),
        _with(check.goes_with),
        f"Your palette has {check.instead} instead." if check.instead else "",
        _nearest_line(check.nearest),
        _seen_line(check),
        _confidence_line(check),
        *(_part_line(part) for part in check.parts),
        *([lamp_words(lamp, check)] if lamp else []),
    ]
    return GarmentWords(_SAYS[check.answer], tuple(line for line in lines if line))


# -- what is off ---------------------------------------------------------------------------------------------------


def off_words(off: Mapping[Axis, Offset]) -> str:
    """Return what is off on the three axes in a few words: 'a touch cool, depth right, clarity right'."""
    return ", ".join(_off_on(axis, off[axis]) for axis in Axis)


def _off_on(axis: Axis, offset: Offset) -> str:
    size = steady(abs(offset.mean))
    if size < RIGHT:
        return f"{axis} right"
    word = _ENDS[axis][offset.mean > 0]
    much = "a touch" if size < TOUCH else "too" if size < MUCH else "much too"
    perhaps = "" if offset.low > 0 or offset.high < 0 else "perhaps "
    return f"{perhaps}{much} {word}"


def _off_line(check: GarmentCheck) -> str:
    if not check.off:
        return ""
    if check.held is Hold.WHITE:
        axis = Axis.UNDERTONE
        return f"{sentence(_off_on(axis, check.off[axis]))}. {_HELD[Hold.WHITE]}"
    return f"{sentence(off_words(check.off))}.{f' {_HELD[check.held]}' if check.held else ''}"


# -- what to do with it --------------------------------------------------------------------------------------------


def rescue_words(check: GarmentCheck) -> str:
    """Return what to put between a garment and the face; empty where nothing is needed or nothing can be said."""
    if check.answer is Answer.NEAR_FACE or not check.between:
        return ""
    between = f"{_names(check.between, 'or')} between it and your face, as a scarf, a collar or a shirt"
    if check.answer is Answer.CANNOT_TELL:
        return f"Until then, put {between}."
    if check.answer is Answer.LEAVE:
        return f"If you love it, wear it away from your face with {between}. Nothing needs to be thrown away."
    return f"If it comes near your face, put {between}."


def _with(colours: Sequence[PaletteColour]) -> str:
    return f"Wear it with {_names(colours, 'or')}." if colours else ""


def _names(colours: Sequence[PaletteColour], joint: str) -> str:
    return listed([colour.name for colour in colours], joint)


# -- how it is known -----------------------------------------------------------------------------------------------


def _nearest_line(nearest: Nearest | None) -> str:
    if nearest is None:
        return ""
    name = nearest.colour.name
    if nearest.delta_e <= HARDLY_DIFFERS:
        return f"It hardly differs from your {name}."
    how = "close to" if nearest.delta_e <= CLOSE else "well apart from"
    return f"The nearest colour of your palette is {name}, and it is {how} that."


def _seen_line(check: GarmentCheck) -> str:
    seen = check.seen
    if seen is None:
        return ""
    return f"{sentence(seen.name)} was held on you{f': it {seen.answer}' if seen.answer else ''}."


def confidence(check: GarmentCheck) -> str | None:
    """Return how sure an answer is by the error of the colour: high, medium or low; None where none is given."""
    if check.roles is None or check.answer is Answer.CANNOT_TELL:
        return None
    chance = steady(check.roles[check.answer])
    return "high" if chance >= HIGH_FROM else "medium" if chance >= MEDIUM_FROM else "low"


def _confidence_line(check: GarmentCheck) -> str:
    word = confidence(check)
    if word is None:
        return ""
    by = {
        KnownBy.PHOTO: "from this photo",
        KnownBy.NAME: "from the name alone",
        KnownBy.READING: "from the reading",
        KnownBy.SPECTRUM: "from its spectrum",
    }
    return f"Confidence {by[check.known_by]}: {word}."


def _why_not(check: GarmentCheck) -> tuple[str, ...]:
    if check.unclear is None:
        return ()
    if check.unclear is Unclear.NOT_READ:
        return "The photo could not be read.", *check.reasons
    places = [_PLACES[role] for role in likeliest(check)]
    between = f"{'It may be' if len(places) > 1 else 'Most likely it is'} worn {listed(places, 'or')}."
    if check.unclear is Unclear.NAME_IS_WIDE:
        return (
            f"Many shades are sold as {check.name}, and they are not all worn alike.",
            between,
            "Photograph it in daylight beside a colour card, or read it with an instrument.",
        )
    if check.known_by is not KnownBy.PHOTO:
        return "Its colour is on the border between two answers.", between, "Hold it on and look."
    return (
        "The photo leaves its colour too unsure.",
        between,
        "Photograph it again in daylight by a window, flat, with the card lying on it; or hold it on and look.",
    )


# -- prints and lamps ----------------------------------------------------------------------------------------------


def _part_line(part: PartCheck) -> str:
    name = (
        f"like {part.nearest.colour.name}" if part.nearest and part.nearest.delta_e <= CLOSE else "not in your palette"
    )
    told = "can't be told" if part.answer is Answer.CANNOT_TELL else _PLACES[part.answer]
    apart = "" if part.near_face else " It is not near your face."
    return f"{part.area:.0%} of the print is {name}: by itself {told}.{apart}"


def lamp_words(lamp: UnderLamp, check: GarmentCheck) -> str:
    """Return what is said of a garment under a lamp, or why nothing is."""
    if not lamp.illuminant:
        known = ", ".join(sorted(LAMPS))
        return (
            f"No spectrum is stored of a lamp called {lamp.lamp}, so how it looks there can't be told. Take it to the "
            f"window, or name one of {known}, or a CIE illuminant."
        )
    if lamp.delta_e is None or lamp.moves is None:
        return (
            f"How it looks under {lamp.illuminant} can't be told: its colour in daylight is known, but not its "
            "spectrum. Take it to the window."
        )
    moved = [f"{_ENDS[axis][lamp.moves[axis] > 0]}er" for axis in Axis if steady(abs(lamp.moves[axis])) >= RIGHT]
    how = f"looks {listed(moved)}" if moved else "looks much the same"
    other = lamp.role is not None and check.answer not in (lamp.role, Answer.CANNOT_TELL)
    warned = " Judged there it would get another answer. Judge it in daylight." if other else ""
    return f"Under {lamp.illuminant} it {how} (ΔE00 {lamp.delta_e:.1f} from daylight).{warned}"


# -- as JSON -------------------------------------------------------------------------------------------------------


def garment_document(check: GarmentCheck, lamp: UnderLamp | None = None) -> dict[str, object]:
    """Return what is said of a garment as plain values for JSON."""
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
        "off_words": off_words(check.off) if check.off else None,
        "roles": None if check.roles is None else {str(role): p for role, p in check.roles.items()},
        "confidence": confidence(check),
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


def _nearest_document(nearest: Nearest | None) -> dict[str, object] | None:
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
