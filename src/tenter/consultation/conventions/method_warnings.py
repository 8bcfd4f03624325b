"""What a method file says that can be read and is hardly meant: each named by its field, none of it refused."""

from collections.abc import Iterator, Mapping, Sequence

from tenter.consultation.axes import Axis
from tenter.consultation.conventions.method_parts import CategoryRegion, Phase
from tenter.consultation.conventions.staple_customs import STAPLES, StapleCustom
from tenter.consultation.words.traits import UndertoneSide, trait_word
from tenter.numerals import number


def warnings_of(
    regions: Sequence[CategoryRegion],
    side_of: Mapping[str, UndertoneSide],
    phases: Sequence[Phase],
    customs: Sequence[StapleCustom],
) -> tuple[str, ...]:
    """Return a sentence for each thing that is hardly meant, beginning with the field, and what to do."""
    return (
        *_about_seasons(regions, side_of),
        *(said for region in regions for said in _about_trait(region)),
        *(said for region in regions for said in _about_neighbour(region, regions)),
        *_about_phases(phases),
        *_about_staples(customs),
    )


def _about_seasons(regions: Sequence[CategoryRegion], side_of: Mapping[str, UndertoneSide]) -> Iterator[str]:
    for region in regions:
        undertone, side = region.prototype[Axis.UNDERTONE.column], side_of[region.season]
        if undertone * (1 if side is UndertoneSide.WARM else -1) < 0:
            yield (
                f"categories.prototype: {region.name!r} belongs to {region.season!r}, a {side} season, but its "
                f"undertone is {number(undertone, 2)}, which is {trait_word(Axis.UNDERTONE, undertone)}. Change its "
                "sign, or the season."
            )
    for season in side_of:
        if not any(region.season == season for region in regions):
            yield f"seasons.name: no category belongs to {season!r}. Add one, or leave the season out."


def _about_trait(region: CategoryRegion) -> Iterator[str]:
    trait = region.leading_trait
    if trait is not None and (value := region.prototype[trait.axis.column]) * trait.sign <= 0:
        end = "in the middle" if value == 0 else str(trait_word(trait.axis, value))
        yield (
            f"categories.leading_trait: {region.name!r} is led by {trait}, but the {trait.axis} of its prototype is "
            f"{number(value, 2)}, which is {end}. Change the prototype, or name the trait that leads."
        )


def _about_neighbour(region: CategoryRegion, regions: Sequence[CategoryRegion]) -> Iterator[str]:
    neighbour = next((other for other in regions if other.name == region.trait_neighbour), None)
    if neighbour is None:
        return
    if neighbour.leading_trait is not region.leading_trait:
        theirs, own = neighbour.leading_trait or "no trait", region.leading_trait or "no trait"
        yield (
            f"categories.trait_neighbour: {region.name!r} is led by {own} and its neighbour {neighbour.name!r} by "
            f"{theirs}. A trait neighbour shares the leading trait: name another, or none."
        )
    if neighbour.trait_neighbour != region.name:
        back = repr(neighbour.trait_neighbour) if neighbour.trait_neighbour else "no neighbour"
        yield (
            f"categories.trait_neighbour: {region.name!r} names {neighbour.name!r}, which names {back}. Two that share "
            "a trait name each other."
        )


def _about_phases(phases: Sequence[Phase]) -> Iterator[str]:
    if {str(phase.decides) for phase in phases} == {"depth"}:
        yield (
            "phases.decides: every phase decides depth alone, so no comparison is chosen to tell one category from "
            "another. Add a phase that decides undertone, season, category or neighbour."
        )


def _about_staples(customs: Sequence[StapleCustom]) -> Iterator[str]:
    for name in STAPLES:
        if not any(custom.name == name for custom in customs):
            yield (
                f"staples.name: no row says who wears {name}, so that every client wears another colour in its place. "
                "Add a row, or take over the bundled method's staples by leaving the whole table out."
            )
