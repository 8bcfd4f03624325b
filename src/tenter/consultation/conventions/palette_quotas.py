"""How many colours of each kind a personal palette has: conventions of the trade, from the method file.

Common practice, no source: neutrals first, then a few colours to hold to the face, then accents by hue.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields, replace
from enum import StrEnum

from tenter.consultation.cloths.hue_families import HueFamily
from tenter.consultation.conventions.method_fields import Fields, choice, whole
from tenter.consultation.words.traits import UndertoneSide
from tenter.errors import TenterError
from tenter.language import _

_MOST = 20  # of one kind; the colours of a hue that can be told apart on one person are not more


class AccentGroup(StrEnum):
    """The hues of a palette as a shop hangs them, with the hue families in each."""

    REDS_AND_PINKS = "reds_and_pinks"
    BLUES = "blues"
    GREENS = "greens"
    PURPLES = "purples"
    TEALS = "teals"
    YELLOWS_AND_ORANGES = "yellows_and_oranges"

    @property
    def families(self) -> tuple[HueFamily, ...]:
        """The hue families of the group."""
        return _FAMILIES[self]


_FAMILIES = {
    AccentGroup.REDS_AND_PINKS: (HueFamily.RED, HueFamily.PINK),
    AccentGroup.BLUES: (HueFamily.BLUE,),
    AccentGroup.GREENS: (HueFamily.GREEN,),
    AccentGroup.PURPLES: (HueFamily.PURPLE,),
    AccentGroup.TEALS: (HueFamily.TEAL,),
    AccentGroup.YELLOWS_AND_ORANGES: (HueFamily.YELLOW, HueFamily.ORANGE),
}


@dataclass(frozen=True, slots=True)
class QuotaShift:
    """One accent more of a group and one fewer of another, for the clients of one undertone.

    Raises `TenterError` where the two are one group.
    """

    undertone: UndertoneSide
    more: AccentGroup
    less: AccentGroup

    def __post_init__(self) -> None:
        if self.more is self.less:
            raise TenterError(_("palette_shifts: {more} cannot be both more and less", more=self.more))


@dataclass(frozen=True, slots=True)
class Quotas:
    """How many colours of each kind a palette has. Common practice, no source.

    Raises `TenterError` for a count outside 0 to 20.
    """

    dark: int = 3
    middle: int = 4
    light: int = 3
    whites: int = 2
    near_face: int = 8
    reds_and_pinks: int = 6
    blues: int = 5
    greens: int = 4
    purples: int = 3
    teals: int = 3
    yellows_and_oranges: int = 3

    def __post_init__(self) -> None:
        for field in fields(self):
            count = getattr(self, field.name)
            if not 0 <= count <= _MOST:
                raise TenterError(
                    _(
                        "palette: {field} is a whole number from 0 to {most}; got {count}",
                        field=field.name,
                        most=_MOST,
                        count=count,
                    )
                )

    @property
    def accents(self) -> Mapping[AccentGroup, int]:
        """The accents of each group."""
        return {group: int(getattr(self, group.value)) for group in AccentGroup}

    @property
    def total(self) -> int:
        """How many colours there are in all."""
        return sum(int(getattr(self, field.name)) for field in fields(self))

    def shifted(self, shifts: Sequence[QuotaShift], side: UndertoneSide) -> "Quotas":
        """Return the quotas for the clients of one undertone; a shift that would leave 0 to 20 is left out."""
        counts = dict(self.accents)
        for shift in shifts:
            if shift.undertone is side and counts[shift.less] > 0 and counts[shift.more] < _MOST:
                counts[shift.more] += 1
                counts[shift.less] -= 1
        return replace(self, **{group.value: count for group, count in counts.items()})


def quotas_from(method: Fields) -> Quotas:
    """Return the quotas of a method file, or the usual ones where it has no such table."""
    if "palette" not in method:
        return Quotas()
    table = method.table("palette")
    given = {field.name: table.get(field.name, whole) for field in fields(Quotas)}
    table.require_all_read()
    return Quotas(**given)


def shifts_from(method: Fields) -> tuple[QuotaShift, ...]:
    """Return the shifts of a method file; none where it names none."""
    if "palette_shifts" not in method:
        return ()
    return tuple(_shift(table) for table in method.tables("palette_shifts"))


def _shift(table: Fields) -> QuotaShift:
    group = choice(AccentGroup)
    shift = QuotaShift(
        table.get("undertone", choice(UndertoneSide)), table.get("more", group), table.get("less", group)
    )
    table.require_all_read()
    return shift
