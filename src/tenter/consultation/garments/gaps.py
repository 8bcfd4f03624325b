"""What a wardrobe lacks of a palette, part by part. Common practice, no source.

A part is covered by a piece whose colour is close to one of its colours, and what is for near the face by a piece that
is worn there.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from tenter.arrays import FloatArray, steady
from tenter.colorimetry.difference import delta_e_2000
from tenter.consultation.colours.colours import PaletteColour, Part, PersonalPalette
from tenter.consultation.garments.role import GarmentAnswer
from tenter.consultation.garments.wardrobe import Piece

CLOSE = 8.0  # ΔE00 within which two colours are alike
_DARK_BELOW, _LIGHT_FROM = 38.0, 66.0  # L* of neutrals
_NAMED = 3  # colours named for a part that is missing


class Section(StrEnum):
    """A part of a palette, as a wardrobe is looked through."""

    NEAR_FACE = "colours for near the face"
    WHITES = "whites"
    DARK = "dark neutrals"
    MIDDLE = "middle neutrals"
    LIGHT = "light neutrals"
    ACCENTS = "accents"


@dataclass(frozen=True, eq=False)
class PartCoverage:
    """One part: the pieces that cover it, and the palette's best colours for it that no piece has."""

    section: Section
    pieces: tuple[Piece, ...]
    wanted: tuple[PaletteColour, ...]

    @property
    def is_gap(self) -> bool:
        """Whether no piece covers it."""
        return not self.pieces


def wardrobe_coverage(palette: PersonalPalette, pieces: Sequence[Piece]) -> tuple[PartCoverage, ...]:
    """Return how a wardrobe covers each part that the palette has, in the order of `Section`."""
    found = []
    for section in Section:
        colours = [c for c in palette.colours if _section(c) is section]
        if colours:
            fit = [piece for piece in pieces if section is not Section.NEAR_FACE or _is_near_face(piece)]
            close = _apart(colours, fit) <= CLOSE
            covering = tuple(piece for k, piece in enumerate(fit) if close[:, k].any())
            open_ = [colour for k, colour in enumerate(colours) if not close[k].any()]
            best = sorted(open_, key=lambda c: (-steady(c.suitability), c.name))[:_NAMED]
            found.append(PartCoverage(section, covering, tuple(best)))
    return tuple(found)


def _is_near_face(piece: Piece) -> bool:
    return piece.kind.is_at_face and piece.role is GarmentAnswer.NEAR_FACE


def _section(colour: PaletteColour) -> Section:
    if colour.part is Part.NEUTRAL:
        L = colour.lab[0]
        return Section.DARK if L < _DARK_BELOW else Section.LIGHT if L >= _LIGHT_FROM else Section.MIDDLE
    return {Part.WHITE: Section.WHITES, Part.NEAR_FACE: Section.NEAR_FACE}.get(colour.part, Section.ACCENTS)


def _apart(colours: Sequence[PaletteColour], pieces: Sequence[Piece]) -> FloatArray:
    """Return CIEDE2000 of colours and pieces, shape (colours, pieces)."""
    ours = np.array([c.lab for c in colours])[:, None]
    theirs = np.array([p.garment.colours[0].lab for p in pieces]).reshape(-1, 3)[None]
    return np.asarray(steady(np.asarray(delta_e_2000(ours, theirs)))).reshape(len(colours), len(pieces))
