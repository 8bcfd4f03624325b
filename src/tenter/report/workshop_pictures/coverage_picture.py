"""What a kit covers, drawn: hue around and chroma outward, once each for light, middle and dark cloths; gaps as rings.

What is shown is one thing and how it is drawn another: pages may take `CoverageShown` and draw it their own way.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from math import cos, radians, sin

import numpy as np

from tenter.colorimetry.measurement import D65_10, Colours
from tenter.colorimetry.spaces import lab_to_lch
from tenter.consultation.axes import Axis
from tenter.consultation.cloths.kit import Kit
from tenter.consultation.laid_out.bench import Bench
from tenter.consultation.laid_out.coverage import Gap, LightnessLevel, countable, gaps, lightness_level
from tenter.language import _, in_a_row, local_number, ngettext, pgettext
from tenter.report.workshop_pictures.svg_parts import (
    HAIRLINE,
    INK,
    LETTERS,
    LOOKING_GREY,
    QUIET,
    svg_document,
    svg_heading,
    svg_line,
    svg_words,
)

_SIZE, _BARE = (960, 530), (960, 352)  # of the picture with its heading and key, and without, in its own units
_KEY_HEIGHT = 124  # of the key, in those units
_RADIUS, _TOP, _FIRST, _STEP = 122.0, 246.0, 164.0, 316.0  # of a panel in those units, and where panels' middles are
_BEYOND = 10.0  # of the grey around the rim, in those units, for the cloths that lie on it
_RING = 20.0  # chroma between two rings
_LEAST_REACH = 60.0  # chroma at the rim where no cloth is stronger
_DOT, _GAP = 6.5, 12.0  # radii in the picture's units
# Hue angles in degrees at which a hue is named: round figures near the bundled families' typical colours.
_NAMED_HUES = {"red": 28.0, "yellow": 88.0, "green": 145.0, "blue": 270.0, "purple": 315.0}
_LETTERS = "ABCDEFGHIJ"


@dataclass(frozen=True, slots=True)
class CoveredCloth:
    """A cloth on the picture: its level, its colour under D65/10°, and '#rrggbb'.

    chroma: C*ab. hue_angle: in degrees.
    """

    cloth: str
    level: LightnessLevel
    chroma: float
    hue_angle: float
    hex: str


@dataclass(frozen=True, slots=True)
class CoverageGap:
    """A gap on the picture: its letter, its place as of a cloth, and a line that says what is missing there.

    chroma: C*ab. hue_angle: in degrees.
    """

    letter: str
    level: LightnessLevel
    chroma: float
    hue_angle: float
    text: str


@dataclass(frozen=True, slots=True)
class CoverageShown:
    """What the picture of a kit's coverage shows. not_true: how many cloths a screen cannot show as they are."""

    cloths: tuple[CoveredCloth, ...]
    gaps: tuple[CoverageGap, ...]
    not_true: int

    def at_level(self, level: LightnessLevel) -> tuple[CoveredCloth, ...]:
        """Return the cloths of one level."""
        return tuple(one for one in self.cloths if one.level is level)

    @property
    def told(self) -> str:
        """The picture in words."""
        counts = in_a_row(
            [f"{pgettext('of cloths', level)} {len(self.at_level(level))}" for level in reversed(LightnessLevel)]
        )
        places = " ".join(_("Gap {letter}: {text}.", letter=gap.letter, text=gap.text) for gap in self.gaps)
        told = _("Measured cloths by lightness: {counts}.", counts=counts)
        return f"{told} {places or _('No gap was found.')}"

    @property
    def how_drawn(self) -> str:
        """What is around and outward, and whether all colours are true."""
        around = _("Around: hue. Outward: chroma, a ring for every {ring}.", ring=local_number(_RING, 0))
        if not self.not_true:
            return around
        stronger = ngettext(
            "{count} cloth is stronger than a screen can show.",
            "{count} cloths are stronger than a screen can show.",
            self.not_true,
        )
        return f"{around} {stronger}"


def coverage_shown(bench: Bench) -> CoverageShown:
    """Return what the measured cloths of a kit cover, metals apart, and the widest gaps."""
    rows = np.flatnonzero(countable(bench))
    lab, depth = bench.kit.bench_colours.lab, bench.coordinates[:, Axis.DEPTH.column]
    shown, truly = Colours(lab[rows], D65_10).on_screen() if rows.size else ([], [])
    cloths = []
    for row, colour in zip(rows, shown, strict=True):
        chroma, hue = (float(v) for v in lab_to_lch(lab[row])[1:])
        cloths.append(CoveredCloth(bench.kit.ids[row], lightness_level(float(depth[row])), chroma, hue, colour))
    found = tuple(_gap(bench, gap, letter) for gap, letter in zip(gaps(bench), _LETTERS, strict=False))
    return CoverageShown(tuple(cloths), found, truly.count(False))


def _gap(bench: Bench, gap: Gap, letter: str) -> CoverageGap:
    chroma, hue = (float(v) for v in lab_to_lch(np.array(gap.lab))[1:])
    place = bench.method.coordinates(Kit.from_lab(["gap"], np.array([gap.lab])))[0]
    L, a, b = (local_number(v, 0) for v in gap.lab)
    category = pgettext("season", gap.category)
    said = _("{gap} ({category}), near L* {L}, a* {a}, b* {b}", gap=gap.words, category=category, L=L, a=a, b=b)
    return CoverageGap(letter, lightness_level(float(place[Axis.DEPTH.column])), chroma, hue, said)


# -- drawing -----------------------------------------------------------------------------------------------------------


def coverage_svg(shown: CoverageShown, headed: bool = True) -> str:
    """Return the picture as the text of an SVG file; without heading and key where a paper has both beside it."""
    title, size = _("What the kit covers"), _SIZE if headed else _BARE
    parts = [svg_heading(24, 38, title), *_key(shown)] if headed else []
    chromas = [*(one.chroma for one in shown.cloths), *(gap.chroma for gap in shown.gaps)]
    reach = max(_LEAST_REACH, _RING * np.ceil(max(chromas, default=0.0) / _RING))
    down = 0.0 if headed else _BARE[1] - _SIZE[1] + _KEY_HEIGHT
    for place, level in enumerate(reversed(LightnessLevel)):
        parts += _panel(shown, level, (_FIRST + place * _STEP, _TOP + down), reach)
    return svg_document(size, title, shown.told, parts)


def _key(shown: CoverageShown) -> Iterator[str]:
    y = _SIZE[1] - _KEY_HEIGHT + 22
    for gap in shown.gaps:
        yield svg_words(24, y, gap.letter, weight="bold")
        yield svg_words(50, y, gap.text)
        y += 23
    if not shown.gaps:
        yield svg_words(24, y, _("No gap was found."))
        y += 23
    yield svg_words(24, y, shown.how_drawn, fill=QUIET)


def _panel(shown: CoverageShown, level: LightnessLevel, middle: tuple[float, float], reach: float) -> Iterator[str]:
    """Yield the panel of one level around its middle; reach: the chroma at its rim."""
    cloths, (x, y) = shown.at_level(level), middle
    said = ngettext("{level}: {count} cloth", "{level}: {count} cloths", len(cloths), level=_level(level))
    yield svg_words(x, y - _RADIUS - 46, said, 18, "middle")
    yield f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{_RADIUS + _BEYOND:.1f}" fill="{LOOKING_GREY}"/>'
    for ring in np.arange(_RING, reach + 1, _RING):
        yield _circle(x, y, _RADIUS * ring / reach, "none", "#9a9a9a", 0.8)
    yield svg_line((x - _RADIUS, y), (x + _RADIUS, y), 0.8, "#9a9a9a")
    yield svg_line((x, y - _RADIUS), (x, y + _RADIUS), 0.8, "#9a9a9a")
    for name, hue in _NAMED_HUES.items():
        at, foot = _place(middle, _RADIUS + _BEYOND + 10, hue)
        anchor = "start" if at > x + 8 else "end" if at < x - 8 else "middle"
        yield svg_words(at, foot + 5, pgettext("hue", name), LETTERS, anchor, QUIET)
    for one in sorted(cloths, key=lambda cloth: -cloth.chroma):
        at_x, at_y = _place(middle, _RADIUS * one.chroma / reach, one.hue_angle)
        yield (
            f'<circle cx="{at_x:.1f}" cy="{at_y:.1f}" r="{_DOT}" fill="{one.hex}" stroke="{INK}" stroke-width="0.5">'
            f"<title>{one.cloth}</title></circle>"
        )
    for gap in shown.gaps:
        if gap.level is level:
            at_x, at_y = _place(middle, _RADIUS * gap.chroma / reach, gap.hue_angle)
            yield _circle(at_x, at_y, _GAP, LOOKING_GREY, INK, 1.8, "4 3")
            yield svg_words(at_x, at_y + 5.5, gap.letter, LETTERS, "middle", weight="bold")


def _level(level: LightnessLevel) -> str:
    return pgettext("of cloths", level).capitalize()


def _place(middle: tuple[float, float], away: float, hue: float) -> tuple[float, float]:
    """Return a place so far from a panel's middle, at a hue angle in degrees, counted as in the a*-b* plane."""
    return middle[0] + away * cos(radians(hue)), middle[1] - away * sin(radians(hue))


def _circle(
    x: float, y: float, radius: float, fill: str, stroke: str = HAIRLINE, width: float = 1, dash: str = ""
) -> str:
    dashed = f' stroke-dasharray="{dash}"' if dash else ""
    return (
        f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{radius:.1f}" fill="{fill}" stroke="{stroke}" '
        f'stroke-width="{width:g}"{dashed}/>'
    )
