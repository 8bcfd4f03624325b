"""The method file: the trade's conventions as data, so that one sitting can be read under several methods."""

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from functools import cache, cached_property
from importlib.resources import files
from pathlib import Path

import numpy as np

from tenter.arrays import ArrayLike, FloatArray, steady
from tenter.colorimetry.spaces import hue_angle
from tenter.consultation.axes import AxisScale, UndertoneTable, clarity
from tenter.consultation.cloths.hue_families import HueFamily
from tenter.consultation.cloths.kit import Drape, Kit
from tenter.consultation.cloths.tables import read_text
from tenter.consultation.conventions.bundled import BUNDLED, DEFAULT_METHOD
from tenter.consultation.conventions.hue_versions import HueVersions, versions_from
from tenter.consultation.conventions.method_fields import Fields, choice, items, text
from tenter.consultation.conventions.method_parts import (
    CategoryRegion,
    DisputedReadings,
    Phase,
    Planning,
    check_regions,
    phase_from,
    planning_from,
    readings_from,
    region_from,
    scale_from,
    sides_from,
    undertone_table_from,
)
from tenter.consultation.conventions.method_warnings import warnings_of
from tenter.consultation.conventions.palette_quotas import Quotas, QuotaShift, quotas_from, shifts_from
from tenter.consultation.conventions.staple_customs import StapleCustom, staples_from
from tenter.consultation.words.flags import Flag
from tenter.consultation.words.traits import UndertoneSide
from tenter.errors import TenterError, UnknownName, UnreadableInput
from tenter.given import given_array, given_path, given_text, of_kind, shown
from tenter.language import _, as_typed, as_written, in_a_row

_FURTHEST_POINT = 1000.0  # bench units; further out no distance is known to 1e-9


class Use(StrEnum):
    """What a cloth's coordinates are asked for."""

    JUDGE = "judge"  # to judge by: the hue table alone
    WEAR = "wear"  # what to wear: with the place within the hue family


@dataclass(frozen=True, eq=False)  # compared by identity, so that it can key a cache
class Method:
    """A way of reading judgements: axes, phases and categories. Common practice of the trade, no source, unless noted.

    Raises `TenterError` for fewer than one phase or two categories, and for phases or categories that cannot be told
    apart; `UnknownName` for a category of a season or beside a neighbour that is not there.
    """

    name: str
    title: str
    readings: DisputedReadings
    depth_scale: AxisScale
    clarity_scale: AxisScale
    undertone_table: UndertoneTable
    flags: frozenset[Flag]
    planning: Planning
    phases: tuple[Phase, ...]
    side_of: Mapping[str, UndertoneSide]  # undertone of each season
    regions: tuple[CategoryRegion, ...]
    versions: HueVersions = field(default_factory=HueVersions)
    quotas: Quotas = field(default_factory=Quotas)  # of a personal palette
    shifts: tuple[QuotaShift, ...] = ()  # of the quotas, by undertone
    staples: tuple[StapleCustom, ...] = ()  # who wears black, navy, … and where

    def __post_init__(self) -> None:
        if not self.phases or len(self.regions) < 2:
            raise TenterError(_("method {name} needs at least one phase and two categories", name=as_typed(self.name)))
        ids = [p.id for p in self.phases]
        if len(set(ids)) < len(ids) or "done" in ids:
            raise TenterError(
                _("each phase needs an id of its own, and none may be 'done', which is what follows the last")
            )
        check_regions(self.regions, self.side_of)

    @classmethod
    def bundled(cls, name: str = DEFAULT_METHOD) -> "Method":
        """Return a method that comes with Tenter: one of `BUNDLED`, or raise `UnknownName`.

        A file of ours that cannot be read would raise `UnreadableInput`.
        """
        return cls.of_document(_bundled_document(name), f"bundled method {name}")

    @classmethod
    def read(cls, path: str | Path) -> "Method":
        """Return the method of a TOML file.

        Raises `UnreadableInput` naming the field at fault, and `TenterError` for what is no path.
        """
        return cls.parse(read_text(given_path(path)), str(path))

    @classmethod
    def parse(cls, toml: str, source: str = "method") -> "Method":
        """Return the method of TOML text.

        Raises `UnreadableInput` naming the field at fault, also where it extends another method than those of `BUNDLED`
        (no `UnknownName` then), and `TenterError` for what is no text.
        """
        return cls.of_document(_document(given_text(toml, _("a method's TOML"), needed=False), source), source)

    @classmethod
    def of_document(cls, document: Mapping[str, object], source: str = "method") -> "Method":
        """Return the method of a document with the fields of a method file, as `method_document` makes it.

        Raises `UnreadableInput`, which names `source` and the field at fault.
        """
        fields = Fields(document, source)
        try:
            return _method_from(fields)
        except UnreadableInput:
            raise
        except TenterError as error:
            raise UnreadableInput(
                source, str(error), _("Nothing was loaded; correct the field and read it again.")
            ) from None

    @property
    def warnings(self) -> tuple[str, ...]:
        """What the method says that is hardly meant: a sentence each, beginning with the field's name."""
        return warnings_of(self.regions, self.side_of, self.phases, self.staples)

    @cached_property
    def categories(self) -> tuple[str, ...]:
        """The categories' names, in the file's order."""
        return tuple(r.name for r in self.regions)

    @cached_property
    def prototypes(self) -> FloatArray:
        """The prototypes in (undertone, depth, clarity), shape (k, 3)."""
        return np.array([r.prototype for r in self.regions])

    @cached_property
    def season_of(self) -> dict[str, str]:
        """The season of each category."""
        return {r.name: r.season for r in self.regions}

    @cached_property
    def seasons(self) -> tuple[str, ...]:
        """The seasons, in the file's order."""
        return tuple(self.side_of)

    def region(self, category: str) -> CategoryRegion:
        """Return the region of a category, or raise `UnknownName`."""
        for region in self.regions:
            if isinstance(category, str) and region.name == category:
                return region
        raise UnknownName(_("category"), category, self.categories)

    def category_at(self, theta: ArrayLike) -> str:
        """Return the category whose cell holds an ideal point (3,): undertone, depth and clarity in bench units.

        Raises `TenterError` for a point of another shape, or one that is not finite and within ±1,000 bench units.
        """
        point = given_array(theta, _("an ideal point"))
        if point.shape != (3,) or not np.all(np.abs(point) <= _FURTHEST_POINT):
            raise TenterError(
                _(
                    "an ideal point is undertone, depth and clarity, three numbers within ±{furthest_point} on "
                    "Tenter's scale; got {theta}",
                    furthest_point=as_written(f"{_FURTHEST_POINT:g}"),
                    theta=shown(theta),
                )
            )
        distance = steady(np.sum((self.prototypes - point) ** 2, axis=1))
        return self.categories[int(np.argmin(distance))]

    def coordinates(self, kit: Kit, use: Use | str = Use.JUDGE) -> FloatArray:
        """Return undertone, depth and clarity of every cloth in bench units, steady to 1e-9, shape (n, 3).

        To `judge` by, the undertone is the hue table's; for what to `wear` a cloth's place within its family joins it.
        Raises `UnknownName` for another use, and `TenterError` for what is no kit.
        """
        lab = of_kind(Kit, kit, "the kit", "tenter.Kit.read").bench_colours.lab
        by_hand = [self._undertone_by_hand(drape) for drape in kit.drapes]
        return self.places(lab, [drape.hue_family for drape in kit.drapes], use, by_hand)

    def places(
        self,
        lab: FloatArray,
        families: Sequence[HueFamily],
        use: Use | str = Use.WEAR,
        by_hand: Sequence[float | None] = (),
    ) -> FloatArray:
        """Return undertone, depth and clarity (n, 3) in bench units of colours (n, 3), D65/10°, of hue families (n,).

        As `coordinates` does for cloths. by_hand (n,): undertones in bench units that overrule the colours' own, None
        where a colour has its own. Raises `UnknownName` for another use.
        """
        said = None
        if _use(use) is Use.WEAR:
            table = self.undertone_table.hue_weight(hue_angle(lab))
            said = self.versions.hue_weight(table, lab, families)
        undertone = self.undertone_table.undertone(lab, said)
        for row, set_by_hand in enumerate(by_hand):
            if set_by_hand is not None:
                undertone[row] = set_by_hand
        middle = self.depth_scale.centre
        share = self.undertone_table.chroma_share(lab)
        bright = clarity(lab, self.clarity_scale, self.readings.clarity, middle, share)
        return steady(np.stack([undertone, self.depth_scale.of(lab[:, 0]), bright], axis=1))

    def _undertone_by_hand(self, drape: Drape) -> float | None:
        if drape.undertone is None or self.readings.metal_tint or not drape.is_metal:
            return drape.undertone
        return 0.0


def _use(use: Use | str) -> Use:
    try:
        return Use(use)
    except ValueError:
        raise UnknownName(_("use of coordinates"), use, Use) from None


def _document(toml: str, source: str) -> Mapping[str, object]:
    try:
        document: dict[str, object] = tomllib.loads(toml)
    except (ValueError, RecursionError) as error:  # besides a syntax error, a number too long or tables too deep
        raise UnreadableInput(
            source, _("not TOML ({error})", error=error), _("docs/reference/method-files.md shows a method file.")
        ) from None
    base = document.pop("extends", None)
    if base is None:
        return document
    if base not in BUNDLED:
        raise UnreadableInput(
            source,
            _("it extends {base}", base=shown(base)),
            _("A method can extend {names}.", names=in_a_row(list(BUNDLED))),
        )
    return {**_bundled_document(str(base)), **document}


def _bundled_document(name: str) -> Mapping[str, object]:
    if not isinstance(name, str) or name not in BUNDLED:
        raise UnknownName(_("bundled method"), shown(name), BUNDLED)
    return _shipped_document(name)


@cache
def _shipped_document(name: str) -> Mapping[str, object]:
    """Return a bundled method's document, only to be read: every method file that extends it begins with it."""
    file = files("tenter.consultation") / "data" / f"{name}.toml"
    return _document(file.read_text(encoding="utf-8"), name)


def _method_from(fields: Fields) -> Method:
    axes = fields.table("axes")
    method = Method(
        name=fields.get("name", text),
        title=fields.get("title", text),
        readings=readings_from(fields.table("readings")),
        depth_scale=scale_from(axes.table("depth")),
        clarity_scale=scale_from(axes.table("clarity")),
        undertone_table=undertone_table_from(fields.table("undertone")),
        flags=frozenset(fields.get("flags", items(choice(Flag)))),
        planning=planning_from(fields.table("planning")),
        phases=tuple(phase_from(f) for f in fields.tables("phases")),
        side_of=sides_from(fields.tables("seasons")),
        regions=tuple(region_from(f) for f in fields.tables("categories")),
        versions=versions_from(fields),
        quotas=quotas_from(fields),
        shifts=shifts_from(fields),
        staples=_staples(fields),
    )
    axes.require_all_read()
    fields.require_all_read()
    return method


def _staples(fields: Fields) -> tuple[StapleCustom, ...]:
    """Return where the staples are worn; a method that says nothing of them has what the first bundled one says."""
    usual = Fields(_bundled_document(BUNDLED[0]), BUNDLED[0])
    return staples_from(fields if "staples" in fields else usual)
