"""The kit: the test cloths, each with its measured colour, its hue family and where it hangs."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from importlib.resources import files
from pathlib import Path

import numpy as np

from tenter.arrays import ArrayLike, FloatArray
from tenter.colorimetry.illuminants import illuminant_power, observer_from
from tenter.colorimetry.measurement import D65_10, Colours, Conditions
from tenter.consultation.cloths.hue_families import TYPICAL_LAB, HueFamily, hue_family
from tenter.consultation.cloths.tables import (
    Faults,
    TableRow,
    delimiter_of,
    parse_cell,
    parse_number,
    read_table,
    read_text,
)
from tenter.errors import TenterError, UnknownName
from tenter.given import given_array, given_list, given_number, given_path, given_text, of_kind, shown
from tenter.language import _, as_typed, as_written, in_a_row

KIT_REQUIRED = ("id", "name", "L", "a", "b", "illuminant", "observer")
KIT_OPTIONAL = ("group", "hue_family", "role", "notes", "undertone", "place", "bench_only")
_ID_PATTERN = re.compile(r"[^\s:+>=,]+")  # the signs that join cloths in a ledger cannot stand in an id
_FURTHEST_UNDERTONE = 5.0  # bench units; the warmest measured cloth reaches about 1.6
# Beyond these no dyed cloth lies; brighteners lift L* above 100.
PLAUSIBLE_LAB = {"L": (0.0, 115.0), "a": (-150.0, 150.0), "b": (-150.0, 150.0)}


@dataclass(frozen=True, slots=True)
class Drape:
    """One cloth. `group` and `role` are the shopkeeper's words: no score reads them; an audit reads tests in roles.

    Raises `TenterError` for an id with space or one of the signs that join cloths in a ledger, for a text field that is
    no text, and for an undertone beyond ±5 bench units.
    """

    id: str
    name: str
    hue_family: HueFamily
    group: str = ""
    role: str = ""
    notes: str = ""
    undertone: float | None = (
        None  # set by hand, in bench units; overrules the measured colour and is shown wherever used
    )
    place: str = ""
    bench_only: bool = False  # for comparing, not for wearing: shown as evidence, never as part of a palette
    measured: bool = True  # False: known by its label alone, so its colour is typical of its family and wide

    def __post_init__(self) -> None:
        for name in ("name", "group", "role", "notes", "place"):
            given_text(getattr(self, name), _("“{name}” of a cloth", name=name), needed=False)
        if self.undertone is not None:
            _check_undertone(self.undertone)
        if not isinstance(self.id, str) or not _ID_PATTERN.fullmatch(self.id) or not self.id.isprintable():
            raise TenterError(
                _(
                    "{id} cannot be a cloth's id; use letters and digits without spaces, ':', '+', '>' or '='",
                    id=shown(self.id),
                )
            )

    @property
    def is_metal(self) -> bool:
        """Whether the cloth shines like metal, so that one colour says little and its undertone is set by hand."""
        return self.hue_family is HueFamily.METAL


@dataclass(frozen=True, eq=False)  # compared by identity, so that it can key a cache
class Kit:
    """Cloths and their colours, in the same order.

    Raises `TenterError` unless there is a cloth, each has a Lab value (n, 3) and an id of its own, and each metal an
    undertone set by hand.
    """

    drapes: tuple[Drape, ...]
    colours: Colours

    def __post_init__(self) -> None:
        of_kind(Colours, self.colours, "the colours of a kit", "tenter.Kit.from_lab")
        for drape in given_list(self.drapes, _("the set of cloths")):
            of_kind(Drape, drape, "a cloth of a kit", "tenter.Kit.from_lab")
        object.__setattr__(self, "drapes", tuple(self.drapes))
        if self.colours.lab.shape != (len(self.drapes), 3) or not self.drapes:
            raise TenterError(
                _(
                    "a kit needs a Lab value per cloth; got {count} cloths, Lab {shape}",
                    count=len(self.drapes),
                    shape=self.colours.lab.shape,
                )
            )
        doubled = sorted({i for i in self.ids if self.ids.count(i) > 1}) if len(set(self.ids)) < len(self.ids) else []
        if doubled:
            raise TenterError(_("each cloth needs an id of its own; used twice: {names}", names=in_a_row(doubled)))
        bare = [d.id for d in self.drapes if d.is_metal and d.undertone is None]
        if bare:
            raise TenterError(
                _(
                    "a metal's undertone is set by hand, for one Lab value misleads; missing for {names}",
                    names=in_a_row(bare),
                )
            )

    @classmethod
    def read(cls, path: str | Path) -> "Kit":
        """Return the kit of a `drapes.csv`.

        Raises `UnreadableInput` naming every faulty row and column, and `TenterError` for what is no path.
        """
        return cls.parse(read_text(given_path(path)), str(path))

    @classmethod
    def demo(cls) -> "Kit":
        """Return the invented studio's 96 cloths."""
        return cls.parse((files("tenter.demo_studio") / "drapes.csv").read_text(encoding="utf-8"), "demo kit")

    @classmethod
    def parse(cls, text: str, source: str = "kit") -> "Kit":
        """Return the kit of CSV text: commas between the cells, or semicolons or tabs and then decimal commas too.

        Raises `UnreadableInput` naming `source` and every faulty row and column, and `TenterError` for what is no text
        or a kit whose cloths do not go together.
        """
        delimiter = delimiter_of(given_text(text, _("a kit's CSV"), needed=False))
        rows = read_table(text, source, KIT_REQUIRED, KIT_OPTIONAL, delimiter=delimiter)
        rows = [row if delimiter == "," else with_points(row) for row in rows]
        faults = Faults(source)
        labs = [_parse_lab(faults, row) for row in rows]
        conditions = _shared_conditions(faults, rows)
        faults.raise_any()
        colours = Colours(np.array(labs), conditions)
        bench_lab = colours.under(D65_10).lab
        seen: dict[str, int] = {}
        drapes = [_parse_drape(faults, row, lab, seen) for row, lab in zip(rows, bench_lab, strict=True)]
        faults.raise_any()
        return cls(tuple(d for d in drapes if d is not None), colours)

    @classmethod
    def from_lab(
        cls,
        ids: Sequence[str],
        lab: ArrayLike,
        hue_families: Sequence[str] | None = None,
        groups: Sequence[str] | None = None,
        illuminant: str = "D65",
        observer: object = "10",
        undertone: Mapping[str, float] | Sequence[float | None] | None = None,
    ) -> "Kit":
        """Return a kit of plain values.

        Parameters
        ----------
        ids : n names
        lab : array_like, shape (n, 3)
            CIELAB under `illuminant` and `observer`.
        hue_families, groups : n names, optional
            Hue families are read from the colours when left out.
        undertone : mapping of id to bench units, or n values, optional
            Undertones set by hand; None leaves the measured one.

        Raises
        ------
        TenterError
            If something is of the wrong kind or number, or a colour is no cloth's: L* 0 to 115, a* and b* within ±150.
        UnknownName
            If an undertone is of a cloth that is not there, or a light, an observer or a hue family is not known.
        """
        names = [given_id(i) for i in given_list(tuple(ids) if isinstance(ids, str) else ids, "ids")]
        colours = Colours(_plausible(names, lab), Conditions(illuminant, observer_from(observer)))
        if hue_families is None:
            hue_families = [hue_family(row) for row in colours.under(D65_10).lab]
        hue_families = given_list(hue_families, "hue_families")
        groups = None if groups is None else given_list(groups, "groups")
        listed = None if undertone is None or isinstance(undertone, Mapping) else given_list(undertone, "undertone")
        by_hand = dict(undertone) if isinstance(undertone, Mapping) else dict(zip(names, listed or (), strict=False))
        for name in by_hand:
            if name not in names:
                raise UnknownName(_("cloth for an undertone set by hand"), name, names)
        for column, values in (("hue_families", hue_families), ("groups", groups), ("undertone", listed)):
            if values is not None and len(values) != len(names):
                raise TenterError(f"{len(values)} {column} came for {len(names)} cloths")
        drapes = tuple(
            Drape(name, name, family_from(family), group="" if group is None else group, undertone=by_hand.get(name))
            for name, family, group in zip(names, hue_families, groups or [""] * len(names), strict=True)
        )
        return cls(drapes, colours)

    @cached_property
    def ids(self) -> tuple[str, ...]:
        """The cloths' ids, in the kit's order."""
        return tuple(d.id for d in self.drapes)

    @property
    def lab(self) -> FloatArray:
        """CIELAB as measured, shape (n, 3), under `colours.conditions`."""
        return self.colours.lab

    @property
    def hue_families(self) -> tuple[str, ...]:
        """The hue family of each cloth."""
        return tuple(d.hue_family for d in self.drapes)

    @cached_property
    def bench_colours(self) -> Colours:
        """The cloths under D65/10°, as the bench needs them; `recovered` tells that they were carried there."""
        return self.colours.under(D65_10)

    @cached_property
    def _rows(self) -> dict[str, int]:
        return {name: i for i, name in enumerate(self.ids)}

    def row(self, drape_id: str) -> int:
        """Return the position of a cloth, or raise `UnknownName`."""
        if not isinstance(drape_id, str) or drape_id not in self._rows:
            raise UnknownName(_("cloth in this kit"), drape_id, self.ids)
        return self._rows[drape_id]

    def __getitem__(self, drape_id: str) -> Drape:
        return self.drapes[self.row(drape_id)]

    def __contains__(self, drape_id: object) -> bool:
        return isinstance(drape_id, str) and drape_id in self._rows

    def __len__(self) -> int:
        return len(self.drapes)


def family_from(name: str) -> HueFamily:
    """Return the hue family of that name, or raise `UnknownName`."""
    try:
        return HueFamily(str(name).strip().lower())
    except ValueError:
        raise UnknownName(_("hue family"), name, HueFamily) from None


def given_id(value: object) -> str:
    """Return an id as text, of a whole number too; raises `TenterError` for anything else.

    Whether a cloth can have it is for `Drape` to say.
    """
    if not isinstance(value, str | int | np.integer) or isinstance(value, bool):
        raise TenterError(_("a cloth's id is a text, got {value}", value=shown(value)))
    return str(value)


def _plausible(names: Sequence[str], lab: object) -> FloatArray:
    values = given_array(lab, "Lab")
    low, high = np.array(list(PLAUSIBLE_LAB.values())).T
    if values.ndim == 2 and values.shape[-1] == 3 and not np.all((low <= values) & (values <= high)):
        for name, row in zip(names, values, strict=False):
            for value, (axis, (low, high)) in zip(row, PLAUSIBLE_LAB.items(), strict=True):
                given_number(value, _("{axis}* of {name}", axis=axis, name=shown(name)), low, high)
    return values


def _check_undertone(value: float) -> float:
    most = _FURTHEST_UNDERTONE
    return given_number(value, _("an undertone set by hand, on Tenter's scale,"), -most, most)


def with_points(row: TableRow) -> TableRow:
    """Return a row with decimal points for decimal commas, where no comma separates its cells."""
    numbers = {name: row[name].replace(",", ".") for name in ("L", "a", "b", "undertone") if row[name].count(",") == 1}
    return TableRow(row.line, {**row.cells, **numbers})


def _is_unmeasured(row: TableRow) -> bool:
    return not any(row[axis] for axis in "Lab")


def _parse_lab(faults: Faults, row: TableRow) -> list[float]:
    if not _is_unmeasured(row):
        return [parse_axis(faults, row, axis) for axis in "Lab"]
    if not row["hue_family"]:
        faults.add(
            row.line, "hue_family", _("the cell is empty; a cloth without L, a and b needs at least its hue family")
        )
        return [50.0, 0.0, 0.0]
    return list(TYPICAL_LAB[parse_cell(faults, row, "hue_family", family_from, HueFamily.GREY)])


def parse_axis(faults: Faults, row: TableRow, axis: str) -> float:
    """Return L*, a* or b* of a row; notes a fault where it cannot be a surface's, and returns 0 then."""
    value = parse_cell(faults, row, axis, parse_number, 0.0)
    low, high = PLAUSIBLE_LAB[axis]
    if low <= value <= high:
        return value
    said = {name: as_written(f"{number:g}") for name, number in (("value", value), ("low", low), ("high", high))}
    faults.add(row.line, axis, _("{value} is outside {low} to {high}", **said))
    return 0.0


def _shared_conditions(faults: Faults, rows: Sequence[TableRow]) -> Conditions:
    first = rows[0]
    illuminant, observer = first["illuminant"], first["observer"]
    parse_cell(faults, first, "illuminant", lambda name: bool(illuminant_power(name).size), False)
    parse_cell(faults, first, "observer", lambda name: bool(observer_from(name)), False)
    for row in rows[1:]:
        for column, shared in (("illuminant", illuminant), ("observer", observer)):
            if row[column] != shared:
                faults.add(
                    row.line,
                    column,
                    _(
                        "{cell} where row {line} has {shared}; a kit has one",
                        cell=as_typed(row[column]),
                        line=first.line,
                        shared=as_typed(shared),
                    ),
                )
    faults.raise_any()
    return Conditions(illuminant, observer_from(observer))


def _parse_yes_no(text: str) -> bool:
    if text.lower() not in ("", "yes", "no"):
        raise ValueError(_("{text} is neither yes nor no", text=as_typed(text)))
    return text.lower() == "yes"


def _parse_drape(faults: Faults, row: TableRow, bench_lab: FloatArray, seen: dict[str, int]) -> Drape | None:
    family = hue_family(bench_lab)
    if row["hue_family"]:
        family = parse_cell(faults, row, "hue_family", family_from, family)
    undertone = (
        parse_cell(faults, row, "undertone", lambda text: _check_undertone(parse_number(text)), 0.0)
        if row["undertone"]
        else None
    )
    if family is HueFamily.METAL and undertone is None:
        faults.add(row.line, "undertone", _("a metal's undertone is set by hand (warm above 0, cool below)"))
        undertone = 0.0
    drape_id = row["id"]
    if drape_id in seen:
        faults.add(row.line, "id", _("{id} is in row {line} already", id=as_typed(drape_id), line=seen[drape_id]))
    seen[drape_id] = row.line
    try:
        return Drape(
            id=drape_id,
            name=row["name"] or drape_id,
            hue_family=family,
            group=row["group"],
            role=row["role"],
            notes=row["notes"],
            undertone=undertone,
            place=row["place"],
            bench_only=parse_cell(faults, row, "bench_only", _parse_yes_no, False),
            measured=not _is_unmeasured(row),
        )
    except TenterError as error:
        faults.add(row.line, "id", str(error))
        return None
