"""What a palette is made of: how a cloth suits, and what is known of it; and the client it is made for."""

from dataclasses import dataclass
from enum import StrEnum

from tenter.arrays import FloatArray
from tenter.consultation.axes import Axis
from tenter.consultation.cloths.kit import Drape
from tenter.consultation.conventions.method import Method
from tenter.consultation.conventions.method_parts import SiblingColours
from tenter.consultation.findings.verdict import Verdict
from tenter.consultation.palette.seen import NOTHING_SEEN_OF_IT, ClothFindings
from tenter.consultation.palette.wear_role import Role
from tenter.consultation.reading.reading import Reading
from tenter.consultation.words.traits import UndertoneSide
from tenter.language import Sentence


class Fit(StrEnum):
    """What a cloth is to a client."""

    BEST = "best"
    YES = "yes, not the best"
    BORROW = "borrow from the neighbour"
    LEAVE = "leave to others"


@dataclass(frozen=True, slots=True)
class PaletteEntry:
    """One cloth in the palette.

    expected_utility: the model's prediction, 0 at the ideal, in units of utility; distance: from the ideal, in bench
    units. `found` holds what the sitting showed of the cloth; `role` says where it is worn, `lies` where it would be
    had nothing been seen of it, `why_moved` why the two differ.
    """

    drape: Drape
    fit: Fit
    role: Role
    lies: Role
    category: str
    expected_utility: float
    distance: float
    neutral: bool
    found: ClothFindings = NOTHING_SEEN_OF_IT
    why_moved: Sentence | None = None

    @property
    def moved(self) -> str:
        """Why it is not worn where it lies, in the language that is written; empty where it is."""
        return "" if self.why_moved is None else str(self.why_moved)

    @property
    def seen(self) -> tuple[str, ...]:
        """What the sitting showed of it, in words, in the order it came; empty when it was never held."""
        return self.found.words

    @property
    def lowered(self) -> bool:
        """Whether what was seen moved it away from the face."""
        return self.role.step > self.lies.step

    @property
    def in_small_areas(self) -> bool:
        """Whether it is of the season, and what was seen of it leaves it small areas alone."""
        return self.fit is Fit.YES and self.role is Role.SMALL

    @property
    def for_cover(self) -> bool:
        """Whether nothing that was seen at any time speaks against wearing it first."""
        return not (self.lowered or self.found.ever_off)

    @property
    def by_hand(self) -> bool:
        """Whether the cloth's undertone overrules its measured colour."""
        return self.drape.undertone is not None


@dataclass(frozen=True, slots=True, eq=False)
class PaletteClient:
    """For whom the palette is: the ideal (3,), and where each cloth lies as it is worn (n, 3), in bench units."""

    sitting: Reading
    verdict: Verdict
    ideal: FloatArray
    places: FloatArray

    @property
    def method(self) -> Method:
        """The sitting's method."""
        return self.sitting.method

    @property
    def side(self) -> UndertoneSide:
        """The undertone of the season."""
        return self.method.side_of[self.verdict.season]

    @property
    def seasons(self) -> tuple[str, ...]:
        """The season of the verdict, or both where the client lies between two categories of different seasons."""
        between = (self.verdict.runner_up,) if self.verdict.is_between else ()
        season_of = self.sitting.method.season_of
        return tuple(dict.fromkeys((self.verdict.season, *(season_of[c] for c in between))))

    def in_season(self, category: str) -> bool:
        """Tell whether a category is of the client's season."""
        return self.sitting.method.season_of[category] == self.verdict.season

    def own(self, category: str) -> bool:
        """Tell whether a category's cloths are the client's own, as the method reads siblings."""
        usable = self.sitting.method.readings.sibling_colours is SiblingColours.USABLE
        if self.verdict.is_between and not (usable and self.in_season(self.verdict.runner_up)):
            return category in (self.verdict.category, self.verdict.runner_up)
        return self.in_season(category) and (usable or category == self.verdict.category)

    def place(self, drape: Drape) -> FloatArray:
        """Return where a cloth lies as it is worn (3,), in bench units."""
        place: FloatArray = self.places[self.sitting.kit.row(drape.id)]
        return place

    def undertone(self, drape: Drape) -> float:
        """Return the undertone of a cloth as it is worn, in bench units."""
        return float(self.place(drape)[Axis.UNDERTONE.column])
