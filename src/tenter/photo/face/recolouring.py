"""Whether the face has another colour than the neck below it, as a filter, make-up or the sun gives it.

A filter that colours or whitens the face works inside the face's outline, and the neck keeps its colour. Shade under
the chin changes lightness; chroma then changes with it, as CIELAB's a* and b* go with L* + 16 when the light does. What
is left beyond that is held against how much bare skin differs from one place of a body to another.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from tenter.arrays import FloatArray
from tenter.language import _, local_number, pgettext
from tenter.photo import reasons as reasons_of_photo
from tenter.photo.regions.reading import RegionReading
from tenter.photo.regions.regions import Region

_BESIDE_THE_NECK = (Region.CHIN, Region.JAW_LEFT, Region.JAW_RIGHT)
# Light thrown back and forth between chin, neck and cloth deepens the neck's colour: rendered exposures, median.
_AS_A_RULE = np.array([-0.6, -1.0])
# a* between cheek and inner arm, 11.87 and 8.18: S. H. Han, Y. J. Choi, S. W. Son (2006), Skin Res. Technol. 12(3), 600
# people; jaws are less red than cheeks. For b* common practice, no source.
_MOST = np.array([3.7, 4.5])
_ELSEWHERE = 1.3  # a filter that multiplies changes a bright cheek by more than the chin it is seen at
# A face of less colour than the neck was whitened: L* raised by 10 takes 3 to 4 off what is left of a* and b*.
_WHITENED = 3.2
_OUTSIDE_THE_FACE = frozenset({Region.NECK, Region.HAIR})


@dataclass(frozen=True, slots=True)
class Recolouring:
    """By how much a* and b* (2,) chin and jaws leave the neck's colour beyond what is usual."""

    change: FloatArray

    @property
    def found(self) -> bool:
        """Whether it is more than bare skin differs by."""
        return float(np.hypot(*(self.change / _MOST))) > 1

    def reasons(self) -> list[reasons_of_photo.Reason]:
        """Return what is to be said of it."""
        if not self.found:
            return []
        axis = int(np.argmax(np.abs(self.change / _MOST)))
        return [
            reasons_of_photo.Reason(
                reasons_of_photo.Code.FACE_RECOLOURED,
                _(
                    "The face is {how} than the neck right below it, by {units} units. A filter that colours the face "
                    "does that, and so do make-up and a tan. The intervals are wider for it. Turn beauty and portrait "
                    "modes off, take make-up off, and photograph again.",
                    how=_against_the_neck(axis, bool(self.change[axis] < 0)),
                    units=local_number(abs(self.change[axis]), 0),
                ),
            )
        ]

    def doubting(self, region: Region, reading: RegionReading) -> RegionReading:
        """Return a reading with as much doubt as the change is large, where a filter over the face would reach it."""
        if not self.found or region in _OUTSIDE_THE_FACE:
            return reading
        size = float(np.hypot(*self.change))
        paler = bool((self.change < 0).all())
        more = np.array([(_WHITENED if paler else _ELSEWHERE) * size, *[_ELSEWHERE * np.abs(self.change).max()] * 2])
        recoloured = (float(more[0]), float(more[1]), float(more[2]))
        return replace(reading, evidence=replace(reading.evidence, recoloured=recoloured))


def _against_the_neck(axis: int, less: bool) -> str:
    """Return how a face differs, of a* (0) or b* (1)."""
    if axis == 0:
        return pgettext("than the neck", "greener") if less else pgettext("than the neck", "redder")
    return pgettext("than the neck", "less yellow") if less else pgettext("than the neck", "yellower")


NO_RECOLOURING = Recolouring(np.zeros(2))  # a* and b* that a filter has added: none


def recolouring(labs: Mapping[Region, FloatArray]) -> Recolouring:
    """Return how far the face leaves the neck, from the Lab (3,) of regions; nothing where either cannot be read."""
    face = [labs[region] for region in _BESIDE_THE_NECK if region in labs]
    neck = labs.get(Region.NECK)
    if neck is None or len(face) < len(_BESIDE_THE_NECK):
        return NO_RECOLOURING
    beside = np.mean(face, axis=0)
    as_bright = neck[1:] * (beside[0] + 16) / (neck[0] + 16)
    return Recolouring(beside[1:] - as_bright - _AS_A_RULE)
