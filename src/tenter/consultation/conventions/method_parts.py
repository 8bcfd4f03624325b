"""What a method file is made of, each part with its reader: phases, categories, plan and disputed readings."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from tenter.consultation.axes import AxisScale, ClarityReading, UndertoneTable
from tenter.consultation.conventions.method_fields import (
    Fields,
    choice,
    finite_number,
    items,
    text,
    truth,
    whole,
    within,
)
from tenter.consultation.words.traits import LeadingTrait, UndertoneSide
from tenter.errors import TenterError, UnknownName
from tenter.language import _, as_typed, as_written

FURTHEST_PROTOTYPE = 3.0  # bench units; an ideal is looked for within 3.2, and most cloths lie within 2


class Decides(StrEnum):
    """What the comparisons of a phase are chosen to settle."""

    UNDERTONE = "undertone"  # warm or cool
    DEPTH = "depth"  # light, middle or deep
    SEASON = "season"
    CATEGORY = "category"  # within the likeliest season
    NEIGHBOUR = "neighbour"  # the likeliest category against the rest


class SiblingColours(StrEnum):
    """Whether the colours of the other sub-seasons of one's season are one's own. Disputed in the trade."""

    USABLE = "usable"
    OWN = "own"


class GreyForWarm(StrEnum):
    """Whether a plain mid grey is poor for warm, clear clients. Disputed in the trade."""

    POOR = "poor"
    NEUTRAL = "neutral"


@dataclass(frozen=True, slots=True)
class DisputedReadings:
    """Choices on which the trade disagrees. metal_tint: whether a metal's undertone counts."""

    clarity: ClarityReading
    metal_tint: bool
    sibling_colours: SiblingColours
    grey_for_warm: GreyForWarm


@dataclass(frozen=True, slots=True)
class Planning:
    """Limits and habits of the plan.

    `opens_light`: the undertone phase opens with a light pair that differs in undertone alone, where the kit has one;
    `most_uses` of one cloth in a sitting; `hidden_repeats` of earlier pairs, one for each `repeat_from` pairs judged,
    at least `repeat_gap` pairs later; minutes that a pair and a fan take; minutes after which a rest is due. Raises
    `TenterError` for counts below 1 (repeats: 0), a `repeat_from` not above `repeat_gap`, or minutes not above 0.
    """

    opens_light: bool
    most_uses: int
    hidden_repeats: int
    repeat_from: int
    repeat_gap: int
    pair_minutes: float
    fan_minutes: float
    rest_after_minutes: float

    def __post_init__(self) -> None:
        if self.most_uses < 1 or self.hidden_repeats < 0 or self.repeat_gap < 1 or self.repeat_from <= self.repeat_gap:
            raise TenterError(
                _("planning: most_uses from 1, hidden_repeats from 0, repeat_from above repeat_gap from 1")
            )
        if min(self.pair_minutes, self.fan_minutes, self.rest_after_minutes) <= 0:
            raise TenterError(_("planning: minutes must be above 0"))


@dataclass(frozen=True, slots=True)
class Phase:
    """One phase of a sitting: it ends at `enough` probability after `least` entries, and in any case after `most`.

    Raises `TenterError` unless 0 ≤ least ≤ most and 0.5 ≤ enough < 1.
    """

    id: str
    title: str
    question: str
    decides: Decides
    least: int
    enough: float
    most: int

    def __post_init__(self) -> None:
        if not 0 <= self.least <= self.most:
            raise TenterError(
                _(
                    "phase {id}: least ({least}) must lie between 0 and most ({most})",
                    id=as_typed(self.id),
                    least=self.least,
                    most=self.most,
                )
            )
        if not 0.5 <= self.enough < 1:
            raise TenterError(
                _(
                    "phase {id}: enough ({enough}) must be at least 0.5 and below 1",
                    id=as_typed(self.id),
                    enough=as_written(f"{self.enough:g}"),
                )
            )


@dataclass(frozen=True, slots=True)
class CategoryRegion:
    """One category: the part of the space that lies nearest to its prototype.

    prototype: undertone, depth and clarity in bench units.
    """

    name: str
    season: str
    prototype: tuple[float, float, float]
    leading_trait: LeadingTrait | None = None
    trait_neighbour: str | None = None


# -- read from a file ---------------------------------------------------------------------------------------------


def sides_from(seasons: Sequence[Fields]) -> dict[str, UndertoneSide]:
    """Return the undertone of each season, in the order of the file.

    Raises `TenterError` for two seasons of one name, and for a field that is missing, unknown or of the wrong kind.
    """
    side_of: dict[str, UndertoneSide] = {}
    for fields in seasons:
        name, side = fields.get("name", text), fields.get("undertone", choice(UndertoneSide))
        fields.require_all_read()
        if name in side_of:
            raise TenterError(_("two seasons have the name {name}", name=as_typed(name)))
        side_of[name] = side
    return side_of


def readings_from(fields: Fields) -> DisputedReadings:
    """Return what a method chooses where the trade disagrees."""
    readings = DisputedReadings(
        clarity=fields.get("clarity", choice(ClarityReading)),
        metal_tint=fields.get("metal_tint", truth),
        sibling_colours=fields.get("sibling_colours", choice(SiblingColours)),
        grey_for_warm=fields.get("grey_for_warm", choice(GreyForWarm)),
    )
    fields.require_all_read()
    return readings


def scale_from(fields: Fields) -> AxisScale:
    """Return the scale of an axis."""
    scale = AxisScale(fields.get("centre", within(0, 150)), fields.get("unit", within(0, 150)))
    fields.require_all_read()
    return scale


def undertone_table_from(fields: Fields) -> UndertoneTable:
    """Return the table of undertone by hue."""
    entries = fields.get("hue_table", items(items(finite_number, 2)))
    table = UndertoneTable(
        gain=fields.get("gain", within(0, 10)),
        neutral_chroma=fields.get("neutral_chroma", within(0, 150)),
        full_chroma=fields.get("full_chroma", within(0, 150)),
        hue_table=tuple((h, w) for h, w in entries),
    )
    if "within_family" in fields:  # read with the families
        fields.get("within_family", within(0, 1))
    fields.require_all_read()
    return table


def planning_from(fields: Fields) -> Planning:
    """Return the limits and habits of the plan."""
    planning = Planning(
        opens_light=fields.get("opens_light", truth),
        most_uses=fields.get("most_uses", whole),
        hidden_repeats=fields.get("hidden_repeats", whole),
        repeat_from=fields.get("repeat_from", whole),
        repeat_gap=fields.get("repeat_gap", whole),
        pair_minutes=fields.get("pair_minutes", finite_number),
        fan_minutes=fields.get("fan_minutes", finite_number),
        rest_after_minutes=fields.get("rest_after_minutes", finite_number),
    )
    fields.require_all_read()
    return planning


def phase_from(fields: Fields) -> Phase:
    """Return a phase."""
    phase = Phase(
        id=fields.get("id", text),
        title=fields.get("title", text),
        question=fields.get("question", text),
        decides=fields.get("decides", choice(Decides)),
        least=fields.get("least", whole),
        enough=fields.get("enough", finite_number),
        most=fields.get("most", whole),
    )
    fields.require_all_read()
    return phase


def region_from(fields: Fields) -> CategoryRegion:
    """Return a category."""
    undertone, depth, bright = fields.get("prototype", items(within(-FURTHEST_PROTOTYPE, FURTHEST_PROTOTYPE), 3))
    region = CategoryRegion(
        name=fields.get("name", text),
        season=fields.get("season", text),
        prototype=(undertone, depth, bright),
        leading_trait=fields.get("leading_trait", choice(LeadingTrait)) if "leading_trait" in fields else None,
        trait_neighbour=fields.get("trait_neighbour", text) if "trait_neighbour" in fields else None,
    )
    fields.require_all_read()
    return region


def check_regions(regions: Sequence[CategoryRegion], side_of: Mapping[str, UndertoneSide]) -> None:
    """Refuse categories that cannot be told apart, or that name a season or a neighbour that is not there.

    Raises `TenterError` for two categories of one name or one prototype, and `UnknownName` for a season or neighbour.
    """
    names = [r.name for r in regions]
    if len(set(names)) < len(names):
        raise TenterError(_("two categories have the same name"))
    if len({r.prototype for r in regions}) < len(names):
        raise TenterError(_("two categories have the same prototype, so nothing decides between them"))
    for region in regions:
        if region.season not in side_of:
            raise UnknownName(_("season (of {region})", region=as_typed(region.name)), region.season, side_of)
        others = [name for name in names if name != region.name]
        if region.trait_neighbour is not None and region.trait_neighbour not in others:
            raise UnknownName(
                _("trait neighbour (of {region})", region=as_typed(region.name)), region.trait_neighbour, others
            )
