"""What is wished of a photograph: places to leave out, regions to drop, and what is said of the hair."""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from tenter.arrays import FloatArray
from tenter.errors import TenterError
from tenter.language import N_, _, as_typed, in_a_row
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


_OUTLINE = {
    ExclusionKind.SCAR: N_("the outline of the scar"),
    ExclusionKind.VITILIGO: N_("the outline of the vitiligo"),
    ExclusionKind.BEARD: N_("the outline of the beard"),
    ExclusionKind.GLASSES: N_("the outline of the glasses"),
    ExclusionKind.OTHER: N_("the outline of the other"),
}


@dataclass(frozen=True, slots=True)
class Exclusion:
    """A place that no region reads: its corners x, y in pixels of the upright original.

    Raises `TenterError` for what is no outline: fewer than three corners, a number that is none, or nothing inside.
    """

    kind: ExclusionKind
    polygon: tuple[Corner, ...]

    def __post_init__(self) -> None:
        _require_outline(_(_OUTLINE[self.kind]), self.polygon)

    @classmethod
    def parse(cls, text: str) -> "Exclusion":
        """Return the exclusion written as "beard:x,y x,y x,y"; raises `TenterError` for anything else."""
        name, _colon, places = text.partition(":")
        if name.strip() not in set(ExclusionKind):
            known = in_a_row(list(ExclusionKind))
            raise TenterError(
                _(
                    "{name} cannot be excluded; write one of {known}, then ':' and its outline",
                    name=as_typed(name.strip()),
                    known=known,
                )
            )
        kind = ExclusionKind(name.strip())
        return cls(kind, read_corners(places, _(_OUTLINE[kind])))

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
            _require_outline(_("the outline of the hair"), self.hair_at)
            if self.hair is HairChoice.NONE:
                raise TenterError(
                    _("a patch of hair was marked and it was said that there is none; say one of the two")
                )


PLAIN_REQUEST = FaceRequest()


def _require_outline(what: str, polygon: tuple[Corner, ...]) -> None:
    corners = np.array(polygon, dtype=float)
    if corners.ndim != 2 or len(corners) < _MIN_CORNERS or not np.isfinite(corners).all():
        raise TenterError(
            _("{what} has {count} usable corners; an outline needs three or more", what=what, count=len(polygon))
        )
    x, y = corners.T
    if abs(np.dot(x, np.roll(y, 1)) - np.dot(y, np.roll(x, 1))) < 1:
        raise TenterError(_("{what} encloses nothing; give corners that go round it", what=what))
