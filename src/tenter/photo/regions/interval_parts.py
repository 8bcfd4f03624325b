"""A colour whose interval is taken apart into what another photograph can narrow and what it cannot.

own         errors of this photograph alone: its fit, its lamps
card light  the light on the card against that on the face, where the card is held anew for every photograph
shared      what the same camera, card and outline of a region do again in every photograph of the face
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from tenter.arrays import FloatArray
from tenter.measured.written_face import WrittenFace
from tenter.photo.json_numbers import rounded
from tenter.photo.regions.reading import RegionReading
from tenter.photo.regions.regions import Region
from tenter.photo.regions.uncertainty import ErrorPart, components, width_of

_NONE = np.zeros(3)  # no part of L*, a* and b*


@dataclass(frozen=True, slots=True)
class ColourInParts:
    """Lab (3,), how far it moves across the region (3,), and half-widths (3,) of the parts of its 90 % interval."""

    lab: FloatArray
    placement: FloatArray
    own: FloatArray
    card_light: FloatArray
    shared: FloatArray

    @classmethod
    def of(cls, reading: RegionReading) -> "ColourInParts":
        """Return a reading taken apart; the parts' squares add up to that of its whole interval."""
        parts = components(reading.lab, reading.evidence)
        return cls(
            reading.lab,
            reading.placement,
            _width({part: s for part, s in parts.items() if not (part.shared or part.of_card_light)}),
            _width({part: s for part, s in parts.items() if part.of_card_light}),
            _width({part: s for part, s in parts.items() if part.shared}),
        )

    @classmethod
    def from_json(cls, lab: Any, parts: Mapping[str, Any]) -> "ColourInParts":
        """Return a colour of a measurement's JSON; KeyError, TypeError or ValueError where it is none."""
        lines = (lab, *(parts[name] for name in ("across", "own", "card_light", "shared")))
        found = [np.array(line, dtype=float).reshape(3) for line in lines]
        if not np.isfinite(found).all() or (np.array(found[1:]) < 0).any():
            raise ValueError("no interval")
        return cls(*found)

    @property
    def half_width_90(self) -> FloatArray:
        """Half-widths (3,) of the whole 90 % interval."""
        half: FloatArray = np.sqrt(self.own**2 + self.card_light**2 + self.shared**2)
        return half

    def to_json(self) -> dict[str, Any]:
        """Return the parts of the interval, in L*, a* and b*, with three decimals; the colour is kept beside them."""
        return {
            "own": rounded(self.own),
            "card_light": rounded(self.card_light),
            "shared": rounded(self.shared),
            "across": rounded(self.placement),
        }


@dataclass(frozen=True, slots=True)
class ForTogether:
    """What a measurement with other photographs needs of one: its colours in parts, and where the card was held.

    card_beside_face: the card's corners (4, 2) in widths of the face, from its middle along and across it.
    """

    parts: Mapping[Region, ColourInParts]
    card_beside_face: FloatArray | None

    @classmethod
    def of_written(cls, face: WrittenFace) -> "ForTogether":
        """Return it of a face as it was written.

        Raises
        ------
        KeyError, TypeError, ValueError
            If an earlier version of the program has written the face, and not all that is needed.
        """
        kept = face.for_together or {}
        card, parts = kept["card_beside_face"], kept["interval_parts"]
        colours = {Region(name): ColourInParts.from_json(said.lab, parts[name]) for name, said in face.colours.items()}
        return cls(colours, None if card is None else np.array(card, dtype=float))

    def to_json(self) -> dict[str, Any]:
        """Return the section `for_together` of a face, with three decimals."""
        return {
            "interval_parts": {str(region): colour.to_json() for region, colour in self.parts.items()},
            "card_beside_face": None if self.card_beside_face is None else rounded(self.card_beside_face),
        }


def _width(parts: Mapping[ErrorPart, FloatArray]) -> FloatArray:
    return width_of(parts) if parts else _NONE
