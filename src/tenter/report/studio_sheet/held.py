"""Which cloths that were held are the client's own, which less so, and why: where the palette's colours come from."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from tenter.consultation.colours.colours import Part, PersonalPalette
from tenter.language import N_, _
from tenter.report.reading.wearing import PaletteLine, Wearing
from tenter.report.words import terms
from tenter.report.words.marks import Mark, Statement
from tenter.report.words.swatches import Swatch

_GROUPS = (
    (N_("The client’s own"), ("best", "yes", "neutrals", "whites", "metals")),
    (N_("In small areas"), ("small", "borrow")),
    (N_("Best kept away from the face"), ("leave",)),
)
_NONE = N_("No cloth was held alone or beside another, so every colour above is predicted.")


@dataclass(frozen=True, slots=True)
class HeldCloth:
    """A cloth that was held, what was seen of it, and what the palette calls it; empty where it is not among them."""

    swatch: Swatch
    answer: str
    colour: str


@dataclass(frozen=True, slots=True)
class HeldGroup:
    """Cloths that did alike."""

    title: str
    cloths: tuple[HeldCloth, ...]


@dataclass(frozen=True, slots=True)
class HeldCloths:
    """Every cloth of the kit that was held, and what else is to be said of them."""

    groups: tuple[HeldGroup, ...]
    statements: tuple[Statement, ...]


def held_cloths(wearing: Wearing, palette: PersonalPalette) -> HeldCloths:
    """Return the cloths that were held, group by group."""
    names = {c.cloth: terms.colour(c.name) for c in palette.every if c.cloth}
    groups = [
        HeldGroup(_(title), tuple(_held_cloths((line for key in keys for line in _seen(wearing, key)), names)))
        for title, keys in _GROUPS
    ]
    found = tuple(group for group in groups if group.cloths)
    told = () if found else (Statement(_(_NONE), Mark.PREDICTED),)
    return HeldCloths(found, (*told, *_whites(wearing, palette), *_rest(wearing)))


def _seen(wearing: Wearing, key: str) -> tuple[PaletteLine, ...]:
    return next((section.seen for section in wearing.sections if section.key == key), ())


def _held_cloths(lines: Iterable[PaletteLine], names: Mapping[str, str]) -> list[HeldCloth]:
    return [HeldCloth(line.swatch, line.answer, names.get(line.swatch.id, "")) for line in lines]


def _whites(wearing: Wearing, palette: PersonalPalette) -> tuple[Statement, ...]:
    """Say how the kit's best white and the palette's go together, as they need not be one."""
    section = wearing.section("whites")
    theirs = next((c for c in palette.of_part(Part.WHITE) if c.title), None)
    if theirs is None or not section.lines:
        return (Statement(section.text, Mark.CUSTOM),)
    best = section.lines[0].swatch
    if theirs.cloth == best.id:
        told = _("The palette has it as {colour}.", colour=terms.colour(theirs.name))
    elif theirs.cloth is None:
        told = _(
            "The palette’s white, {colour}, is predicted: no cloth of the kit has that colour.",
            colour=terms.colour(theirs.name),
        )
    else:
        told = _(
            "The palette’s white, {colour}, is another cloth, because of what was seen on it.",
            colour=terms.colour(theirs.name),
        )
    return (Statement(f"{section.text} {told}", Mark.CUSTOM),)


def _rest(wearing: Wearing) -> tuple[Statement, ...]:
    """Return what is said of cloths in words alone: metals, and those that are not drawn."""
    return (Statement(wearing.section("metals").text, Mark.CUSTOM), *wearing.section("leave").rest)
