"""Where the trade has the staples of every shop worn: by undertone, depth and clarity, as the method file says.

Common practice, no source. A staple is hardly coloured, so that its distance from an ideal among colours says little of
how it is worn: black is a winter's own, and yet far from every ideal. What a method says here decides, unless something
was seen. It speaks of traits and of no category by name, so that it serves a method with categories of its own.
"""

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from enum import StrEnum

from tenter.arrays import FloatArray, steady
from tenter.colorimetry.spaces import Lab
from tenter.consultation.axes import Axis
from tenter.consultation.cloths.tables import bundled_table
from tenter.consultation.colours.colours import StapleAnswer
from tenter.consultation.conventions.method_fields import Fields, choice, finite_number, text
from tenter.errors import TenterError, UnknownName
from tenter.language import _, as_written

_ROWS = bundled_table("staples.csv", ("name", "L", "a", "b", "instead"))
STAPLES: dict[str, Lab] = {row["name"]: (float(row["L"]), float(row["a"]), float(row["b"])) for row in _ROWS}
INSTEAD = {row["name"]: row["instead"] for row in _ROWS if row["instead"]}  # the title of what takes its place first


class StapleWear(StrEnum):
    """How a staple is worn; who wears it neither way wears another colour in its place."""

    NEAR = "near"
    AWAY = "away"


@dataclass(frozen=True, slots=True)
class StapleCustom:
    """Some of the clients who wear a staple, near the face or away from it.

    undertone_least, undertone_most, depth_least, depth_most, clarity_least, clarity_most: ranges in bench units, ends
    included; an end that is None is open. Raises `UnknownName` for another staple, and `TenterError` for a range whose
    least is above its most.
    """

    name: str
    worn: StapleWear
    undertone_least: float | None = None
    undertone_most: float | None = None
    depth_least: float | None = None
    depth_most: float | None = None
    clarity_least: float | None = None
    clarity_most: float | None = None

    def __post_init__(self) -> None:
        if self.name not in STAPLES:
            raise UnknownName(_("staple"), self.name, STAPLES)
        for axis in Axis:
            least, most = self.range(axis)
            if least is not None and most is not None and least > most:
                raise TenterError(
                    _(
                        "staples: {name} has {lower} = {least} above {upper} = {most}, where nobody is; "
                        "exchange the two",
                        name=self.name,
                        lower=f"{axis}_least",
                        upper=f"{axis}_most",
                        least=as_written(f"{least:g}"),
                        most=as_written(f"{most:g}"),
                    )
                )

    def range(self, axis: Axis) -> tuple[float | None, float | None]:
        """Return the least and the most of an axis, in bench units; None for an open end."""
        return getattr(self, f"{axis}_least"), getattr(self, f"{axis}_most")

    def holds(self, ideal: FloatArray) -> bool:
        """Tell whether a client with an ideal (3,) in bench units is one of them."""
        for axis in Axis:
            at, (least, most) = steady(float(ideal[axis.column])), self.range(axis)
            if (least is not None and at < least) or (most is not None and at > most):
                return False
        return True

    @property
    def document(self) -> dict[str, object]:
        """The row as it is in a method file."""
        return {field: value for field, value in asdict(self).items() if value is not None}


_ENDS = tuple(f"{axis}_{end}" for axis in Axis for end in ("least", "most"))


def by_custom(customs: Sequence[StapleCustom], name: str, ideal: FloatArray) -> StapleAnswer:
    """Return where a staple is worn by a client with an ideal (3,) in bench units, as the trade has it.

    A staple for which no row holds is swapped. Common practice, no source.
    """
    found = {custom.worn for custom in customs if custom.name == name and custom.holds(ideal)}
    return next((StapleAnswer(worn) for worn in StapleWear if worn in found), StapleAnswer.SWAP)


def staples_from(method: Fields) -> tuple[StapleCustom, ...]:
    """Return where the staples are worn, as a method file says."""
    return tuple(_custom(table) for table in method.tables("staples"))


def _custom(fields: Fields) -> StapleCustom:
    ends = {end: fields.get(end, finite_number) for end in _ENDS if end in fields}
    custom = StapleCustom(fields.get("name", text), fields.get("worn", choice(StapleWear)), **ends)
    fields.require_all_read()
    return custom
