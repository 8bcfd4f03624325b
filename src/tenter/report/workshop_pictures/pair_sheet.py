"""Two cloths large on neutral grey, with what they differ in."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from textwrap import wrap

import numpy as np

from tenter.colorimetry.measurement import D65_10, Colours
from tenter.colorimetry.spaces import lab_to_lch
from tenter.consultation.axes import Axis
from tenter.consultation.laid_out.bench import Bench
from tenter.consultation.laid_out.pair_quality import PairQuality, pair_quality
from tenter.consultation.words.traits import trait_word
from tenter.errors import TenterError
from tenter.language import _, all_of, in_a_row, local_number, local_signed, pgettext
from tenter.report.words import terms
from tenter.report.workshop_pictures.svg_parts import (
    HAIRLINE,
    INK,
    JUDGING_GREY,
    LETTERS,
    QUIET,
    svg_cloth,
    svg_document,
    svg_heading,
    svg_line,
    svg_words,
)

_SIZE = (1120, 790)  # of the picture, in its own units: an A4 sheet lying down
_AXIS_FROM, _AXIS_TO = 730.0, 1020.0  # of the axes' lines, in those units
_LETTERS_WIDE = 77  # letters of a line that end before the axes begin
_REACH = 3.0  # bench units at either end of an axis's line


@dataclass(frozen=True, slots=True)
class ShownCloth:
    """A cloth of a pair: its number and name, '#rrggbb', whether a screen can show it, L*, C* and h in words."""

    cloth: str
    name: str
    hex: str
    shown_truly: bool
    values: str


@dataclass(frozen=True, slots=True)
class PairOnAxis:
    """The places of two cloths on one axis. ends: the trait at either end in a word.

    first, second: in bench units.
    """

    axis: Axis
    first: float
    second: float
    ends: tuple[str, str]


@dataclass(frozen=True, slots=True)
class PairShown:
    """What a pair sheet shows. lines: what the two differ in, in sentences."""

    title: str
    cloths: tuple[ShownCloth, ShownCloth]
    lines: tuple[str, ...]
    axes: tuple[PairOnAxis, ...]

    @property
    def told(self) -> str:
        """The sheet in words."""
        return f"{' '.join(self.lines)}"


def pair_shown(bench: Bench, first: str, second: str, axis: Axis | None = None) -> PairShown:
    """Return what two cloths, by id, differ in; axis: what they are to test, what they differ in most where None.

    Raises
    ------
    TenterError
        If the kit does not have one of them, or one is a metal or was not measured.
    """
    pair = pair_quality(bench, first, second, axis)
    rows = [bench.kit.row(first), bench.kit.row(second)]
    for drape in (bench.kit.drapes[row] for row in rows):
        if drape.is_metal or not drape.measured:
            raise TenterError(
                _("{cloth} is a metal, which no one colour shows; name two measured cloths", cloth=drape.id)
                if drape.is_metal
                else _("{cloth} was not measured; name two measured cloths", cloth=drape.id)
            )
    one, other = bench.coordinates[rows]
    return PairShown(
        title=_("{both}, for {axis}", both=all_of([first, second]), axis=pgettext("axis", pair.axis)),
        cloths=(_shown(bench, rows[0]), _shown(bench, rows[1])),
        lines=tuple(_lines(bench, pair)),
        axes=tuple(
            PairOnAxis(
                a,
                float(one[a.column]),
                float(other[a.column]),
                (pgettext("trait", trait_word(a, -_REACH)), pgettext("trait", trait_word(a, _REACH))),
            )
            for a in Axis
        ),
    )


def _shown(bench: Bench, row: int) -> ShownCloth:
    drape, lab = bench.kit.drapes[row], bench.kit.bench_colours.lab[row]
    colours, truly = Colours(lab[None], D65_10).on_screen()
    L, chroma, hue = (local_number(v, 0) for v in lab_to_lch(lab))
    name = "" if drape.name == drape.id else drape.name
    return ShownCloth(drape.id, name, colours[0], truly[0], f"L* {L}, C* {chroma}, h {hue}°")


def _lines(bench: Bench, pair: PairQuality) -> Iterator[str]:
    if pair.mixed:
        yield _("Mixed: they also differ in {things}.", things=all_of([pgettext("differ in", m) for m in pair.mixed]))
    share = {"share": local_number(100 * pair.share, 0), "axis": pgettext("axis", pair.axis)}
    if pair.mixed:
        yield _("{share} % of their difference is {axis}.", **share)
    else:
        yield _("Clean: {share} % of their difference is {axis}.", **share)
    lab = bench.kit.bench_colours.lab[[bench.kit.row(pair.first), bench.kit.row(pair.second)]]
    (L, C, h), (L2, C2, h2) = lab_to_lch(lab)
    turn = float((h2 - h + 180) % 360 - 180)
    yield _(
        "ΔE00 {apart}: from left to right L* {lighter}, C* {stronger}, hue {turn}°.",
        apart=local_number(pair.delta_e, 1),
        lighter=local_signed(L2 - L),
        stronger=local_signed(C2 - C),
        turn=local_signed(turn, 0),
    )
    yield from _on_skins(pair)


def _on_skins(pair: PairQuality) -> Iterator[str]:
    """Yield how far apart the skins are predicted to look, and on which nobody would see it."""
    skins = [terms.skin(on.skin) for on in pair.on_skins]
    jaws = [f"{skin} {local_number(on.jaw, 1)}" for on, skin in zip(pair.on_skins, skins, strict=True)]
    yield _("Predicted ΔE00 at the jaw, by skin: {jaws}.", jaws=in_a_row(jaws))
    unseen = [skin for on, skin in zip(pair.on_skins, skins, strict=True) if not on.visible]
    if unseen and len(unseen) == len(skins):
        yield _("That is too small to see on any of them.")
    elif unseen:
        yield _("That is too small to see on {skins} skin.", skins=all_of(unseen))


# -- drawing -----------------------------------------------------------------------------------------------------------


def pair_svg(shown: PairShown) -> str:
    """Return the sheet as the text of an SVG file."""
    parts = [svg_heading(40, 52, shown.title, 26), *_on_grey(shown)]
    parts += _sentences(shown.lines)
    parts += [part for k, axis in enumerate(shown.axes) for part in _axis(axis, 640 + 38 * k)]
    if not all(one.shown_truly for one in shown.cloths):
        cut = _("Zigzag edge: stronger than a screen can show. Trust the cloth.")
        parts.append(svg_words(40, 764, cut, fill=QUIET))
    told = _("Filled: {first}. Open: {second}.", first=shown.cloths[0].cloth, second=shown.cloths[1].cloth)
    parts.append(svg_words(_AXIS_TO, 764, told, LETTERS, "end", QUIET))
    return svg_document(_SIZE, shown.title, shown.told, parts)


def _sentences(lines: Sequence[str]) -> Iterator[str]:
    """Yield the sentences left of the axes, each broken where it would reach them, and closer where they are many."""
    rows = [row for line in lines for row in wrap(line, _LETTERS_WIDE)]
    step = min(27.0, 94.0 / max(len(rows) - 1, 1))
    yield from (svg_words(40, 646 + step * k, row, 17) for k, row in enumerate(rows))


def _on_grey(shown: PairShown) -> Iterator[str]:
    yield f'<rect x="0" y="76" width="{_SIZE[0]}" height="470" fill="{JUDGING_GREY}"/>'
    for one, x in zip(shown.cloths, (190.0, 560.0), strict=True):
        yield svg_cloth((x, 126, 370, 370), one.hex, one.shown_truly, JUDGING_GREY, f"{one.cloth} {one.name}".strip())
        yield svg_words(x, 574, f"{one.cloth} {one.name}".strip(), 18)
        yield svg_words(x, 597, one.values, fill=QUIET)


def _axis(axis: PairOnAxis, y: float) -> Iterator[str]:
    """Yield the line of an axis with both cloths on it."""
    yield svg_words(_AXIS_FROM - 12, y + 5, axis.ends[0], LETTERS, "end", QUIET)
    yield svg_words(_AXIS_TO + 12, y + 5, axis.ends[1], fill=QUIET)
    yield svg_line((_AXIS_FROM, y), (_AXIS_TO, y), 1, HAIRLINE)
    middle = (_AXIS_FROM + _AXIS_TO) / 2
    yield svg_line((middle, y - 5), (middle, y + 5), 1, HAIRLINE)
    first, second = (_along(v) for v in (axis.first, axis.second))
    yield svg_line((first, y), (second, y), 3)
    yield f'<circle cx="{first:.1f}" cy="{y:.1f}" r="7" fill="{INK}"/>'
    yield f'<circle cx="{second:.1f}" cy="{y:.1f}" r="6" fill="#ffffff" stroke="{INK}" stroke-width="2"/>'


def _along(value: float) -> float:
    share = (float(np.clip(value, -_REACH, _REACH)) + _REACH) / (2 * _REACH)
    return _AXIS_FROM + share * (_AXIS_TO - _AXIS_FROM)
