"""Snippets in drawers: each with its colour, how many pieces there are, and at how many it is reordered."""

import re
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from tenter.arrays import FloatArray
from tenter.colorimetry.measurement import D65_10, Colours, Conditions
from tenter.colorimetry.spaces import Lab
from tenter.consultation.cloths.kit import PLAUSIBLE_LAB, Kit
from tenter.errors import TenterError, UnknownName
from tenter.given import given_list, given_number, given_text, given_whole, of_kind, shown
from tenter.language import _, in_a_row

_DRAWER = re.compile(r"[\w.#/-]{1,12}")
LARGEST_DRAWER = 100_000  # in one drawer; more is a slip of the hand
LONGEST_NAME = 80  # letters: a label


def drawer_from(value: object) -> str:
    """Return a drawer's number as it is kept; raises `TenterError` where it cannot be one."""
    text = str(value).strip() if isinstance(value, str | int) and not isinstance(value, bool) else ""
    if not _DRAWER.fullmatch(text):
        raise TenterError(
            _(
                "{value} cannot be a drawer's number; use up to 12 letters and digits without spaces: 12, A3, 4-07",
                value=shown(value),
            )
        )
    return text


def drawer_order(drawer: str) -> tuple[tuple[int, int, str], ...]:
    """Return what drawers are sorted by, so that 2 comes before 10 and A2 before A10."""
    parts = re.findall(r"[0-9]+|[^0-9]+", drawer)
    return tuple((0, int(part), "") if part.isdecimal() else (1, 0, part.casefold()) for part in parts)


def pieces_from(value: object) -> int:
    """Return a number of pieces in a drawer; raises `TenterError` for anything but a whole number from 0 to 100,000."""
    return given_whole(value, _("a number of pieces"), 0, LARGEST_DRAWER)


@dataclass(frozen=True, slots=True)
class Snippet:
    """One kind of snippet or card strip, which has a drawer of its own.

    lab: CIELAB under `conditions`. count: pieces in the drawer. reorder_at: at how many or fewer it is on the reorder
    list, None for never. Raises `TenterError` for a name of more than `LONGEST_NAME` letters, a drawer or a count that
    cannot be one, and a colour that no cloth has.
    """

    drawer: str
    name: str
    lab: Lab
    conditions: Conditions = D65_10
    count: int = 0
    reorder_at: int | None = None

    def __post_init__(self) -> None:
        object.__setattr__(self, "drawer", drawer_from(self.drawer))
        name = " ".join(given_text(self.name, _("a snippet's name"), needed=False).split())
        if len(name) > LONGEST_NAME:
            raise TenterError(
                _(
                    "a snippet's name has {most} letters at most; got {count} in {name}",
                    most=LONGEST_NAME,
                    count=len(name),
                    name=shown(name),
                )
            )
        object.__setattr__(self, "name", name or self.drawer)
        numbers = given_list(self.lab, _("the colour of drawer {drawer}", drawer=self.drawer))
        if len(numbers) != 3:
            raise TenterError(
                _("the colour of drawer {drawer} is L*, a* and b*; got {lab}", drawer=self.drawer, lab=shown(self.lab))
            )
        for value, (axis, (low, high)) in zip(numbers, PLAUSIBLE_LAB.items(), strict=True):
            given_number(value, _("{axis}* of drawer {drawer}", axis=axis, drawer=self.drawer), low, high)
        pieces_from(self.count)
        if self.reorder_at is not None:
            pieces_from(self.reorder_at)

    @property
    def is_low(self) -> bool:
        """Whether it is to be reordered."""
        return self.reorder_at is not None and self.count <= self.reorder_at


@dataclass(frozen=True, eq=False)
class Stock:
    """All snippets, by drawer. There may be none yet.

    Raises `TenterError` for two in one drawer. Asked for a drawer that is not there, it raises `UnknownName`.
    """

    snippets: tuple[Snippet, ...] = ()

    def __post_init__(self) -> None:
        found = [of_kind(Snippet, one, "a part of the stock", "Snippet(…)") for one in self.snippets]
        drawers = [one.drawer.casefold() for one in found]
        if twice := sorted({one.drawer for one in found if drawers.count(one.drawer.casefold()) > 1}):
            raise TenterError(_("each snippet needs a drawer of its own; used twice: {names}", names=in_a_row(twice)))
        object.__setattr__(self, "snippets", tuple(sorted(found, key=lambda one: drawer_order(one.drawer))))

    def __len__(self) -> int:
        return len(self.snippets)

    def __iter__(self) -> Iterator[Snippet]:
        return iter(self.snippets)

    def __getitem__(self, drawer: str) -> Snippet:
        found = [one for one in self.snippets if one.drawer.casefold() == drawer_from(drawer).casefold()]
        if not found:
            raise UnknownName(_("drawer"), drawer, [one.drawer for one in self.snippets])
        return found[0]

    def __contains__(self, drawer: object) -> bool:
        return any(one.drawer.casefold() == str(drawer).casefold() for one in self.snippets)

    @cached_property
    def lab(self) -> FloatArray:
        """CIELAB of all under D65/10°, shape (n, 3); carried there where another light or observer was used."""
        found = np.zeros((len(self), 3))
        rows = defaultdict(list)
        for row, one in enumerate(self.snippets):
            rows[one.conditions].append(row)
        for conditions, these in rows.items():
            given = np.array([self.snippets[row].lab for row in these], dtype=float)
            found[these] = Colours(given, conditions).under(D65_10).lab
        return found

    @property
    def to_reorder(self) -> tuple[Snippet, ...]:
        """Those with as few pieces as they are reordered at, by drawer."""
        return tuple(one for one in self.snippets if one.is_low)

    def with_more(self, snippets: "tuple[Snippet, ...]") -> "Stock":
        """Return the stock with other snippets beside those there are.

        Raises `TenterError` for a drawer in use, by its name.
        """
        for one in snippets:
            if one.drawer in self:
                raise TenterError(
                    _(
                        "drawer {drawer} holds {name} already, so {new} was not put there and nothing was "
                        "changed; give it another drawer, or count what came as bought",
                        drawer=one.drawer,
                        name=self[one.drawer].name,
                        new=one.name,
                    )
                )
        return Stock((*self.snippets, *snippets))


def snippets_of_kit(kit: Kit, count: int = 1, reorder_at: int | None = None) -> tuple[Snippet, ...]:
    """Return the measured cloths of a kit as snippets, each in a drawer of its id; metals and unmeasured ones are left.

    A kit file is what photographs of racks and an instrument's readings become, so that they can be stock as well.
    """
    rows = zip(kit.drapes, kit.lab.tolist(), strict=True)
    return tuple(
        Snippet(drape.id, drape.name, (lab[0], lab[1], lab[2]), kit.colours.conditions, count, reorder_at)
        for drape, lab in rows
        if drape.measured and not drape.is_metal
    )
