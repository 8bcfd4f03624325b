"""What a method file says that can be read and is hardly meant: each named by its field, none of it refused."""

from collections.abc import Iterator, Mapping, Sequence

from tenter.consultation.axes import Axis
from tenter.consultation.conventions.method_parts import CategoryRegion, Phase
from tenter.consultation.conventions.staple_customs import STAPLES, StapleCustom
from tenter.consultation.words.terms import axis, trait_sentence
from tenter.consultation.words.traits import LeadingTrait, UndertoneSide, trait_word
from tenter.language import _, as_typed, local_number


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
            yield _(
                "categories.prototype: {category} belongs to {season}, a {side} season, but its undertone is "
                "{undertone}, which is {word}. Change its sign, or the season.",
                category=as_typed(region.name),
                season=as_typed(region.season),
                side=trait_sentence(LeadingTrait(side)),
                undertone=local_number(undertone, 2),
                word=trait_sentence(trait_word(Axis.UNDERTONE, undertone)),
            )
    for season in side_of:
        if not any(region.season == season for region in regions):
            yield _(
                "seasons.name: no category belongs to {season}. Add one, or leave the season out.",
                season=as_typed(season),
            )


def _about_trait(region: CategoryRegion) -> Iterator[str]:
    trait = region.leading_trait
    if trait is not None and (value := region.prototype[trait.axis.column]) * trait.sign <= 0:
        end = _("in the middle") if value == 0 else trait_sentence(trait_word(trait.axis, value))
        yield _(
            "categories.leading_trait: {category} is led by {trait}, but the {axis} of its prototype is {value}, which "
            "is {end}. Change the prototype, or name the trait that leads.",
            category=as_typed(region.name),
            trait=trait_sentence(trait),
            axis=axis(trait.axis),
            value=local_number(value, 2),
            end=end,
        )


def _about_neighbour(region: CategoryRegion, regions: Sequence[CategoryRegion]) -> Iterator[str]:
    neighbour = next((other for other in regions if other.name == region.trait_neighbour), None)
    if neighbour is None:
        return
    named = {"category": as_typed(region.name), "neighbour": as_typed(neighbour.name)}
    if neighbour.leading_trait is not region.leading_trait:
        yield _(
            "categories.trait_neighbour: {category} is led by {own} and its neighbour {neighbour} by {theirs}. A trait "
            "neighbour shares the leading trait: name another, or none.",
            own=_leading(region),
            theirs=_leading(neighbour),
            **named,
        )
    if neighbour.trait_neighbour != region.name:
        back = as_typed(neighbour.trait_neighbour) if neighbour.trait_neighbour else _("no neighbour")
        yield _(
            "categories.trait_neighbour: {category} names {neighbour}, which names {back}. Two that share a trait name "
            "each other.",
            back=back,
            **named,
        )


def _leading(region: CategoryRegion) -> object:
    return trait_sentence(region.leading_trait) if region.leading_trait else _("no trait")


def _about_phases(phases: Sequence[Phase]) -> Iterator[str]:
    if {str(phase.decides) for phase in phases} == {"depth"}:
        yield _(
            "phases.decides: every phase decides depth alone, so no comparison is chosen to tell one category from "
            "another. Add a phase that decides undertone, season, category or neighbour."
        )


def _about_staples(customs: Sequence[StapleCustom]) -> Iterator[str]:
    for name in STAPLES:
        if not any(custom.name == name for custom in customs):
            yield _(
                "staples.name: no row says who wears {name}, so that every client wears another colour in its place. "
                "Add a row, or take over the bundled method's staples by leaving the whole table out.",
                name=name,
            )
