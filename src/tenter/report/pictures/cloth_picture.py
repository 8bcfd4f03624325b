"""A photograph of cloths drawn: each cloth outlined with its number, the card, and each colour with its interval."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from html import escape

import numpy as np

from tenter.arrays import FloatArray
from tenter.colorimetry.measurement import D65_2, Colours
from tenter.kept_words import keeps_words
from tenter.language import N_, _, in_a_row, local_number
from tenter.numerals import whole_percent
from tenter.photo.cloth.colour import ClothCode, ClothColour, ClothReason
from tenter.photo.cloth.measure import ClothMeasurement
from tenter.photo.cloth.print_palette import PrintColour
from tenter.photo.cloth.rack import RackMeasurement
from tenter.photo.files.loading import Photo
from tenter.report.pictures.card_edge import DrawnEdge, drawn_edges, svg_edge
from tenter.report.pictures.face_overlay import svg_polygon
from tenter.report.pictures.face_picture import SaidReason
from tenter.report.pictures.shares import WHOLE, Outline, share_of
from tenter.report.words.wording import card_fit, plain_number, sentence

_DIGIT, _LINE = 0.62, 0.5  # a character's width in its size; part of an outline's height that a number may take
_OVER = 1.35  # of an outline's width, over which a number may reach: it is drawn around a cloth's middle
_LARGEST = 0.045  # of the picture's width: the size of a number
# What would help, said for a page on which cloths are drawn around; the terminal's words name its options.
_FOR_RACK = N_(
    "Check how many rows and columns there are, or mark the rack’s four corners on the photograph. A plain wall behind "
    "and a gap between cloths help"
)
_ON_A_PAGE = {
    ClothCode.NOT_FOUND: N_("Draw around the cloth on the photograph"),
    ClothCode.CHOSEN: N_("If that is not the cloth, draw around it on the photograph"),
    ClothCode.SEVERAL_COLOURS: N_(
        "If it shines, turn it away from the lamp; if it is a print, have it read as a print; or draw around a part of "
        "one colour"
    ),
}
_FOR_PRINT = N_("A print has several colours, so draw around it on the photograph")
_NOTHING = N_("No cloth on the rack could be read. The reason is given at each place.")


@dataclass(frozen=True, slots=True)
class DrawnColour:
    """One colour: its swatch, whether a screen shows it truly, L*, a*, b* in words, and a print's part of the area."""

    hex: str
    truly: bool
    values: tuple[str, ...]
    area: str = ""


@dataclass(frozen=True, slots=True)
class DrawnCloth:
    """One cloth, or one place of a rack, row and column from 1. outline: 0-1 of the picture's width and height."""

    key: str
    row: int
    column: int
    outline: Outline
    empty: bool
    note: str
    doubt: str


@dataclass(frozen=True, slots=True)
class ClothPicture:
    """Everything on the picture but the photograph. width, height: of the photograph, in pixels.

    colours: of the cloths that have one, by key. palette: of a print. facts: lines to print. edges: of light on the
    card.
    """

    width: int
    height: int
    card: tuple[Outline, ...]
    cloths: tuple[DrawnCloth, ...]
    colours: Mapping[str, DrawnColour]
    palette: tuple[DrawnColour, ...]
    reasons: tuple[SaidReason, ...]
    facts: tuple[str, ...]
    edges: tuple[DrawnEdge, ...] = ()


def place_key(row: int, column: int) -> str:
    """Return the name of a place of a rack, row and column from 1."""
    return f"r{row}c{column}"


def cloth_picture(measured: RackMeasurement | ClothMeasurement, photo: Photo) -> ClothPicture:
    """Return the picture of a measurement and the photograph it was made of."""
    height, width = photo.rgb.shape[:2]
    size = np.array([width, height]) * photo.reduction
    corners = measured.chart.corners_px
    cloths, colours = _of_rack(measured, size) if isinstance(measured, RackMeasurement) else _of_one(measured, size)
    return ClothPicture(
        width=width,
        height=height,
        card=() if corners is None else (share_of(corners, size),),
        cloths=cloths,
        colours=colours,
        palette=() if isinstance(measured, RackMeasurement) else tuple(map(_of_palette, measured.palette)),
        reasons=_reasons(measured),
        facts=_facts(measured),
        edges=drawn_edges(measured.chart, measured.card_reasons, size),
    )


def _of_rack(measured: RackMeasurement, size: FloatArray) -> tuple[tuple[DrawnCloth, ...], Mapping[str, DrawnColour]]:
    cloths, colours = [], {}
    for cell in measured.cells:
        key = place_key(cell.row, cell.column)
        note = cell.found.text if isinstance(cell.found, ClothReason) else ""
        outline = share_of(cell.outline_px, size)
        cloths.append(DrawnCloth(key, cell.row, cell.column, outline, cell.empty, note, cell.doubt or ""))
        if cell.colour is not None:
            colours[key] = _of_cloth(cell.colour)
    return tuple(cloths), colours


def _of_one(measured: ClothMeasurement, size: FloatArray) -> tuple[tuple[DrawnCloth, ...], Mapping[str, DrawnColour]]:
    if measured.outline_px is None:
        return (), {}
    key = place_key(1, 1)
    drawn = DrawnCloth(key, 1, 1, share_of(measured.outline_px, size), False, "", "")
    return (drawn,), {} if measured.cloth is None else {key: _of_cloth(measured.cloth)}


def _of_cloth(colour: ClothColour) -> DrawnColour:
    return _drawn(colour.lab, colour.half_width_90)


def _of_palette(colour: PrintColour) -> DrawnColour:
    return _drawn(colour.lab, colour.half_width_90, whole_percent(colour.area))


def _drawn(lab: FloatArray, half_width_90: FloatArray, area: str = "") -> DrawnColour:
    shown, truly = Colours(lab[None], D65_2).on_screen()
    values = tuple(
        f"{plain_number(float(value))} ±\u00a0{local_number(half, 1)}"
        for value, half in zip(lab, half_width_90, strict=True)
    )
    return DrawnColour(shown[0], bool(truly[0]), values, area)


def _reasons(measured: RackMeasurement | ClothMeasurement) -> tuple[SaidReason, ...]:
    said = [SaidReason(reason.text, reason.refuses) for reason in measured.card_reasons]
    for reason in measured.reasons:
        refuses = not measured.accepted and reason.code is not ClothCode.CHOSEN
        said.append(SaidReason(_on_a_page(reason, _helps(reason.code, measured)), refuses))
    if not measured.accepted and not any(reason.refuses for reason in said):
        said.append(SaidReason(_(_NOTHING), True))
    return tuple(said)


def _helps(code: ClothCode, measured: RackMeasurement | ClothMeasurement) -> str | None:
    """Return what would help in words that need no terminal, where the reason's own words do."""
    if code is ClothCode.NOT_FOUND and isinstance(measured, RackMeasurement):
        return _FOR_RACK
    if code is ClothCode.CHOSEN and isinstance(measured, ClothMeasurement) and measured.palette:
        return _FOR_PRINT
    return _ON_A_PAGE.get(code)


def _on_a_page(reason: ClothReason, helps: str | None) -> str:
    """Return a reason with its fact as it is, and what would help."""
    if helps is None:
        return reason.text
    fact = before_comma(reason.text) if reason.code is ClothCode.CHOSEN else before_stop(reason.text)
    return f"{fact}. {_(helps)}."


@keeps_words
def before_comma(text: str) -> str:
    """Return what a text says before its first comma."""
    return text.split(", ", maxsplit=1)[0]


@keeps_words
def before_stop(text: str) -> str:
    """Return the first sentence of a text without its full stop."""
    return text.split(". ", maxsplit=1)[0]


def _facts(measured: RackMeasurement | ClothMeasurement) -> tuple[str, ...]:
    facts = []
    if isinstance(measured, RackMeasurement):
        facts.append(measured.light)
    elif measured.cloth is not None:
        spread = in_a_row([local_number(value, 1) for value in measured.cloth.spread])
        part = str(measured.cloth.part)
        facts.append(f"{sentence(part)}.")
        facts.append(_("Across the whole cloth, folds included, L*, a* and b* spread by {spread}.", spread=spread))
    if measured.accepted and measured.chart.leave_one_out is not None:
        facts.append(card_fit(measured.chart.leave_one_out.mean))
    return tuple(fact for fact in facts if fact)


# -- drawing -----------------------------------------------------------------------------------------------------------


def cloth_overlay_svg(
    size: tuple[int, int],
    card: Sequence[Outline],
    cloths: Sequence[DrawnCloth],
    numbers: Mapping[str, str],
    edges: Sequence[DrawnEdge] = (),
) -> str:
    """Return the lines over the photograph as SVG, to lie upon it at any size; looks come from the page's own style.

    size: width and height of the photograph, in pixels. numbers: of the cloths, by key; one without a number is drawn
    with a broken line. Each cloth is a group that carries its key, with its place for a title.
    """
    w, h = size
    parts = [svg_polygon(points, w, h, kind) for points in card for kind in ("card halo", "card")]
    parts += [_svg_cloth(cloth, w, h, numbers.get(cloth.key, "")) for cloth in cloths]
    parts += [svg_edge(edge, w, h, WHOLE) for edge in edges]
    label = escape(_("The cloths that were found"))
    head = f'<svg class="overlay" viewBox="0 0 {w} {h}" role="img" aria-label="{label}">'
    return head + "".join(parts) + "</svg>"


def _svg_cloth(cloth: DrawnCloth, w: int, h: int, number: str) -> str:
    kind = "outline" if number else "outline unread"
    lines = "".join(svg_polygon(cloth.outline, w, h, k) for k in (f"{kind} halo", kind))
    points = np.array(cloth.outline) * (w, h)
    (x, y), (wide, high) = (points.max(axis=0) + points.min(axis=0)) / 2, np.ptp(points, axis=0)
    fits = min(_OVER * wide / (_DIGIT * max(len(number), 4)), _LINE * high, _LARGEST * w)
    text = f'<text class="number" x="{x:.1f}" y="{y:.1f}" font-size="{fits:.1f}">{escape(number)}</text>'
    title = escape(_("Row {row}, column {column}", row=cloth.row, column=cloth.column))
    return f'<g data-place="{escape(cloth.key)}"><title>{title}</title>{lines}{text}</g>'
