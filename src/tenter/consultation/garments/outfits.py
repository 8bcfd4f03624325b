"""Which pieces of a wardrobe make an outfit, of two pieces or three. Common practice, no source.

Near the face is a piece that is worn there: a top, a dress, or a scarf between one that is not and the face. What is
below or over it may be any piece that is owned; what is only wished for has to suit away from the face. Contrast comes
first: where that of hair, skin and eyes is known, the lightest and the darkest piece are as far apart.
"""

from collections.abc import Container, Iterator, Sequence
from dataclasses import dataclass

from tenter.arrays import steady
from tenter.consultation.client.contrast import STEPS, ContrastLevel
from tenter.consultation.garments.role import ROLES, GarmentAnswer
from tenter.consultation.garments.wardrobe import Piece, PieceKind


@dataclass(frozen=True, eq=False)
class Outfit:
    """Two or three pieces worn together: the one at the face first, then the others."""

    pieces: tuple[Piece, ...]

    @property
    def step(self) -> float:
        """L* between the lightest and the darkest piece."""
        lightness = [piece.lightness for piece in self.pieces]
        return max(lightness) - min(lightness)


def outfits(
    owned: Sequence[Piece], contrast: ContrastLevel | None = None, wished: Sequence[Piece] = ()
) -> tuple[Outfit, ...]:
    """Return every outfit that pieces make; those of two before those of three.

    What is owned may be worn away from the face whatever its colour; of what is only wished for, what suits there.
    contrast: of the face; only outfits whose step in L* is near it are kept, all where it is None.
    """
    below = {id(piece) for piece in (*owned, *filter(_suits_below, wished))}
    found = [Outfit(together) for together in _together([*owned, *wished], below)]
    low, high = (0.0, 100.0) if contrast is None else STEPS[contrast]
    kept = [outfit for outfit in found if low <= steady(outfit.step) <= high]
    return tuple(sorted(kept, key=lambda outfit: len(outfit.pieces)))


def _together(pieces: Sequence[Piece], below: Container[int]) -> Iterator[tuple[Piece, ...]]:
    of = {kind: [piece for piece in pieces if piece.kind is kind] for kind in PieceKind}
    bottoms = [piece for piece in of[PieceKind.BOTTOM] if id(piece) in below]
    layers = [piece for piece in of[PieceKind.LAYER] if id(piece) in below]
    scarves = [piece for piece in of[PieceKind.SCARF] if piece.role is GarmentAnswer.NEAR_FACE]
    for top in of[PieceKind.TOP]:
        for bottom in bottoms:
            if top.role is GarmentAnswer.NEAR_FACE:
                yield top, bottom
                yield from ((top, bottom, layer) for layer in layers)
            elif id(top) in below:
                yield from ((scarf, top, bottom) for scarf in scarves)
    for dress in of[PieceKind.DRESS]:
        if dress.role is GarmentAnswer.NEAR_FACE:
            yield from ((dress, layer) for layer in layers)
        elif id(dress) in below:
            yield from ((scarf, dress) for scarf in scarves)


def _suits_below(piece: Piece) -> bool:
    """Tell whether a piece suits away from the face."""
    return piece.loved or ROLES.index(piece.role) <= ROLES.index(GarmentAnswer.AWAY)
