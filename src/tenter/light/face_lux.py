"""Illuminance at five points of the face: how much light each gets, and whether both cheeks get the same."""

import re
from dataclasses import dataclass, fields

from tenter.arrays import steady
from tenter.errors import TenterError, UnknownName
from tenter.given import given_number
from tenter.language import N_, _, as_typed

MOST_LUX = 150_000.0  # more than the sun gives at noon
_ONE = re.compile(r"\s*(?:([a-z_ ]+?)\s*[=:]\s*)?(\d+(?:\.\d+)?)\s*(?:lx|lux)?\s*", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class FaceLux:
    """Illuminance on the face: the meter lies on the skin and looks out from it.

    forehead, cheek_left, cheek_right, nose, chin: lux, None where it was not measured; left and right are the client's
    own. whole: lux that stand for the whole face.

    Raises
    ------
    TenterError
        If a value is no number of lux, or none came.
    """

    forehead: float | None = None
    cheek_left: float | None = None
    cheek_right: float | None = None
    nose: float | None = None
    chin: float | None = None
    whole: float | None = None

    def __post_init__(self) -> None:
        given = {field.name: getattr(self, field.name) for field in fields(self)}
        for name, value in given.items():
            if value is not None:
                given_number(value, _("lux on the {place}", place=point_words(name)), 0, MOST_LUX)
        if not any(value is not None for value in given.values()):
            raise TenterError(_("no illuminance came; give one value, or one for each point of the face"))

    @property
    def points(self) -> dict[str, float]:
        """The points that were measured, by name, in lux."""
        named = ((name, getattr(self, name)) for name in FACE_POINTS)
        return {name: value for name, value in named if value is not None}

    @property
    def mean(self) -> float:
        """The mean of the points measured, or the one value for the whole face, in lux."""
        values = list(self.points.values())
        return sum(values) / len(values) if values else float(self.whole or 0.0)

    @property
    def cheek_difference(self) -> float | None:
        """By which share of its light the darker cheek falls short of the brighter one; None if one is not known."""
        if self.cheek_left is None or self.cheek_right is None:
            return None
        brighter = max(self.cheek_left, self.cheek_right)
        return float(steady(1 - min(self.cheek_left, self.cheek_right) / brighter)) if brighter > 0 else 0.0

    @property
    def uniformity(self) -> float | None:
        """The darkest point as a share of the brightest, from two points on."""
        values = list(self.points.values())
        return float(steady(min(values) / max(values))) if len(values) > 1 and max(values) > 0 else None


FACE_POINTS = tuple(field.name for field in fields(FaceLux) if field.name != "whole")
_POINT_WORDS = {
    "forehead": N_("forehead"),
    "cheek_left": N_("left cheek"),
    "cheek_right": N_("right cheek"),
    "nose": N_("nose"),
    "chin": N_("chin"),
    "whole": N_("whole face"),
}


def point_words(name: str) -> str:
    """Return a point of the face by its field's name as it is said: left cheek, chin, whole face."""
    return _(_POINT_WORDS[name])


def face_lux_from(text: str) -> FaceLux:
    """Return the illuminance that a text gives: "1200", or "forehead=1150, cheek_left=1200, …".

    Raises
    ------
    TenterError
        If a value is no number of lux, or a point is named twice.
    UnknownName
        If a point is none of the five.
    """
    found: dict[str, float] = {}
    for part in filter(str.strip, text.split(",")):
        match = _ONE.fullmatch(part)
        if match is None:
            raise TenterError(
                _(
                    "{part} is no illuminance; write one value such as 1200, or points such as "
                    "forehead=1150,cheek_left=1200,cheek_right=1180",
                    part=as_typed(part.strip()),
                )
            )
        name = (match[1] or "whole").strip().lower().replace(" ", "_")
        if name not in (*FACE_POINTS, "whole"):
            raise UnknownName(_("face point"), name, FACE_POINTS)
        if name in found:
            raise TenterError(
                _(
                    "two values came for the {place}; give one with a decimal point, or name the point of each",
                    place=point_words(name),
                )
            )
        found[name] = float(match[2])
    if "whole" in found and len(found) > 1:
        raise TenterError(_("a value without a point came among points of the face; name its point, or leave it out"))
    return FaceLux(**found)
