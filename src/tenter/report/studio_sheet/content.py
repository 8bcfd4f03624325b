"""The studio's sheet: the reading with its numbers, the client's own palette, and what was held to come to it.

It is made of the sitting and the palette that the client's paper is made of, so that the two never differ in a colour.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from tenter.consultation.cloths.hue_families import HueFamily
from tenter.consultation.cloths.kit import Kit
from tenter.consultation.colours.colours import PersonalPalette
from tenter.consultation.personal.choosing import YOUR_RED
from tenter.language import N_, _, pgettext, translated
from tenter.report.client_paper.photo_pair import PhotoPair
from tenter.report.client_paper.shades import Shade, ShadeSign, nearest_shade, shades
from tenter.report.reading.content import ReadingSheet
from tenter.report.reading.wearing import Wearing
from tenter.report.studio_sheet.colours import ColourRow, colour_rows
from tenter.report.studio_sheet.held import HeldCloths, held_cloths
from tenter.report.words import terms
from tenter.report.words.cautions import Caution
from tenter.report.words.palette_words import STRONGER
from tenter.report.words.swatches import kit_swatches
from tenter.report.words.wording import sentence

_FOR_STUDIO = ("minor", "over-claim", "law")
_CHOSEN = N_("chosen by the consultant")
_BELOW = N_(
    "As on the client’s paper, with the same names. Below each name: L*, a*, b* ({conditions}), then the cloth that "
    "was held, or how well the colour is expected to suit beside the face, from 0 to 1. Neutrals are worn away "
    "from it, where a low one will do. A zigzag edge: stronger in cloth than it can be shown here."
)


@dataclass(frozen=True, slots=True)
class SheetLabels:
    """Headings of what the studio's sheet says beside the reading."""

    axes: str = N_("Evidence by axis")
    axis_columns: tuple[str, ...] = (N_("Axis"), N_("Reads as"), N_("Answers"), N_("Worth together"))
    palette: str = N_("The client’s palette")
    held: str = N_("Cloths held, and how they did")
    method: str = N_("Kit and method")
    side: str = N_("Side by side")
    in_palette: str = N_("in the palette as")
    stronger: str = STRONGER


@dataclass(frozen=True, slots=True)
class StudioSheet:
    """All that the studio's sheet says. chosen: the word for what the consultant chose, empty where nothing is."""

    reading: ReadingSheet
    palette: tuple[ColourRow, ...]
    palette_note: str
    held: HeldCloths
    likings: tuple[str, ...]
    chosen: str
    cautions: tuple[Caution, ...]
    elsewhere: str
    photographs: PhotoPair | None
    labels: SheetLabels


def studio_sheet(
    reading: ReadingSheet, kit: Kit, palette: PersonalPalette, photographs: PhotoPair | None = None
) -> StudioSheet:
    """Return the sheet of a reading; `palette` and `photographs` are those that the client's paper shows."""
    rows = colour_rows(palette, kit_swatches(kit))
    chosen = any(one.shade.sign is ShadeSign.CHOSEN for row in rows for one in row.colours)
    return StudioSheet(
        reading=reading,
        palette=rows,
        palette_note=_note(palette),
        held=held_cloths(reading.wearing, palette),
        likings=_likings(reading.wearing, kit, palette),
        chosen=_(_CHOSEN) if chosen else "",
        cautions=tuple(c for c in reading.cautions if c.key in _FOR_STUDIO),
        elsewhere=_elsewhere(reading.cautions),
        photographs=photographs,
        labels=translated(SheetLabels()),
    )


def _likings(wearing: Wearing, kit: Kit, palette: PersonalPalette) -> tuple[str, ...]:
    """Return the likings, each with the nearest of the palette, which the client's paper names."""
    own = shades(palette.colours, palette.conditions)
    said = zip(wearing.likings, wearing.wanted, strict=True)
    return tuple(f"{text} {_in_palette(kit, cloth, own)}" if cloth and own else text for text, cloth in said)


def _in_palette(kit: Kit, cloth: str, own: Sequence[Shade]) -> str:
    nearest, same = nearest_shade(kit, cloth, own)
    if same:
        return _("The palette has it as {colour}.", colour=nearest.in_line)
    return _("The nearest to it in the palette is {colour}.", colour=nearest.in_line)


def _better_red(palette: PersonalPalette) -> bool:
    """Tell whether a red suits better than "your red": that one is chosen among those that everyone calls red."""
    reds = [c for c in palette.colours if c.hue_family is HueFamily.RED]
    named = [c.suitability for c in reds if c.title == YOUR_RED and not c.chosen]
    return bool(named) and max(c.suitability for c in reds) > max(named)


def _note(palette: PersonalPalette) -> str:
    told = [_(_BELOW, conditions=palette.conditions)]
    if _better_red(palette):
        told.append(
            _(
                "“{title}” is the best of the plain reds. Another red here may suit better.",
                title=sentence(terms.title(YOUR_RED)),
            )
        )
    if palette.by_judgement:
        season = terms.season(palette.categories[0])
        told.append(_("It follows the consultant’s judgement, {season}.", season=season))
    return " ".join(told)


def _elsewhere(cautions: tuple[Caution, ...]) -> str:
    titles = [c.title for c in cautions if c.key not in _FOR_STUDIO]
    listed = pgettext("between titles", "; ").join(titles)
    return _("Go through these parts of the client’s paper together: {titles}.", titles=listed)
