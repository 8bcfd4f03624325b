"""What is wished of a photograph: places to leave out, regions to drop, and what is said of the hair."""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from tenter.arrays import FloatArray
from tenter.errors import TenterError
from tenter.photo.places import Corner, read_corners
from tenter.photo.regions.regions import Region

_MIN_CORNERS = 3  # of an outline


class ExclusionKind(StrEnum):
    """What a hand-drawn outline keeps out of every region."""

    SCAR = "scar"
    VITILIGO = "vitiligo"
    BEARD = "beard"
    GLASSES = "glasses"
    OTHER = "other"


@dataclass(frozen=True, slots=True)
class Exclusion:
    """A place that no region reads: its corners x, y in pixels of the upright original.

    Raises `TenterError` for what is no outline: fewer than three corners, a number that is none, or nothing inside.
    """

    kind: ExclusionKind
    polygon: tuple[Corner, ...]

    def __post_init__(self) -> None:
        _require_outline(f"the outline of the {self.kind}", self.polygon)

    @classmethod
    def parse(cls, text: str) -> "Exclusion":
        """Return the exclusion written as "beard:x,y x,y x,y"; raises `TenterError` for anything else."""
        name, _, places = text.partition(":")
        if name.strip() not in set(ExclusionKind):
            known = ", ".join(ExclusionKind)
            raise TenterError(f"{name.strip()!r} cannot be excluded; write one of {known}, then ':' and its outline")
        return cls(ExclusionKind(name.strip()), read_corners(places, f"the outline of the {name.strip()}"))

    @property
    def outline(self) -> FloatArray:
        """The corners (n, 2)."""
        return np.array(self.polygon, dtype=float)


class HairChoice(StrEnum):
    """What is said of the proposed patch of hair."""

    UNCONFIRMED = "unconfirmed"
    CONFIRMED = "confirmed"
    NONE = "none"


@dataclass(frozen=True, slots=True)
class FaceRequest:
    """Wishes for the measuring of a face.

    exclusions: places that no region reads. dropped: regions that are not read at all. hair: whether the proposed patch
    is hair; it is measured only when confirmed. hair_at: an own outline of hair instead, corners x, y in pixels of the
    upright original.

    Raises `TenterError` for an outline of hair that is none, or beside the word that there is no hair.
    """

    exclusions: tuple[Exclusion, ...] = ()
    dropped: frozenset[Region] = frozenset()
    hair: HairChoice = HairChoice.UNCONFIRMED
    hair_at: tuple[Corner, ...] | None = None

    def __post_init__(self) -> None:
        if self.hair_at is not None:
            _require_outline("the outline of the hair", self.hair_at)
            if self.hair is HairChoice.NONE:
                raise TenterError("a patch of hair was marked and it was said that there is none; say one of the two")


PLAIN_REQUEST = FaceRequest()


def _require_outline(what: str, polygon: tuple[Corner, ...]) -> None:
    corners = np.array(polygon, dtype=float)
    if corners.ndim != 2 or len(corners) < _MIN_CORNERS or not np.isfinite(corners).all():
        raise TenterError(f"{what} has {len(polygon)} usable corners; an outline needs three or more")
    x, y = corners.T
    if abs(np.dot(x, np.roll(y, 1)) - np.dot(y, np.roll(x, 1))) < 1:
        raise TenterError(f"{what} encloses nothing; give corners that go round it")
