"""How one cloth has changed, drawn: its first and its latest colour side by side, and ΔE00 over the years."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from math import ceil
from textwrap import wrap

import numpy as np

from tenter.arrays import steady
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.measurement import D65_10, Colours
from tenter.consultation.fading.drift import DRIFTED_FROM, ClothDrift, cloth_drifts
from tenter.consultation.readings.cloth_reading import ClothReading
from tenter.consultation.readings.summary import cloth_summaries
from tenter.consultation.readings.wash_log import Wash
from tenter.errors import TenterError
from tenter.language import _, in_a_row, local_number, long_date, ngettext
from tenter.report.words.wording import sentence
from tenter.report.workshop_pictures.svg_parts import (
    HAIRLINE,
    INK,
    LETTERS,
    LOOKING_GREY,
    QUIET,
    svg_cloth,
    svg_curve,
    svg_document,
    svg_heading,
    svg_line,
    svg_words,
)

_SIZE = (960, 480)  # of the picture, in its own units
_LEFT, _RIGHT, _UPPER, _FOOT = 420.0, 920.0, 110.0, 380.0  # of the chart, in those units
_HEAD = 62  # of the picture's height, in those units: its heading
_LEAST_TOP = 3.0  # ΔE00 at the chart's top where nothing changed more
_SHARE_OF_END = 0.04  # of the chart's width that is left free at either end
_LIMIT_WIDTH = 240.0  # of the words at the limit's line, in those units
_LETTERS_WIDE = 50  # of the words beside the chart, on a line
_LETTER_WIDTH = 9.0  # of a letter of a date, on average, in those units
_DATE_WIDTH = 170.0  # of a date under the chart and the space beside it, in those units


@dataclass(frozen=True, slots=True)
class DriftDay:
    """A day of readings, as an ISO date.

    delta_e: ΔE00 from the first day. spread: of the day's readings, ΔE00, where it is known.
    """

    day: str
    delta_e: float
    spread: float | None


@dataclass(frozen=True, slots=True)
class DriftShown:
    """What the picture of a cloth's change shows. then, now: '#rrggbb', and whether a screen can show it."""

    title: str
    lines: tuple[str, ...]
    then: tuple[str, bool]
    now: tuple[str, bool]
    days: tuple[DriftDay, ...]
    washes: tuple[str, ...]

    @property
    def told(self) -> str:
        """The picture in words."""
        days = [
            _("{day} ΔE00 {apart}", day=long_date(one.day), apart=local_number(one.delta_e, 1)) for one in self.days
        ]
        return " ".join((*self.lines, _("By day: {days}.", days=in_a_row(days))))


def drift_shown(readings: Iterable[ClothReading], washes: Iterable[Wash], cloth: str, name: str = "") -> DriftShown:
    """Return what has become of one cloth over the days of its readings, under D65/10°.

    Raises
    ------
    TenterError
        If the cloth has no readings of two days.
    """
    own = [one for one in readings if one.cloth == cloth]
    drifts = cloth_drifts(own, washes)
    if not drifts:
        raise TenterError(
            _(
                "{cloth} has no readings of two days, so no change can be drawn; add some: tenter kit readings add",
                cloth=cloth,
            )
        )
    one, days = drifts[0], cloth_summaries(own, D65_10)
    away = steady(delta_e_2000(np.array(days[0].lab), np.array([day.lab for day in days])))
    shown, truly = Colours(np.array([one.baseline.lab, one.latest.lab]), D65_10).on_screen()
    return DriftShown(
        title=f"{cloth} {name}".strip() if name != cloth else cloth,
        lines=tuple(_lines(one)),
        then=(shown[0], truly[0]),
        now=(shown[1], truly[1]),
        days=tuple(DriftDay(day.day, float(d), day.mcdm) for day, d in zip(days, away, strict=True)),
        washes=tuple(wash.day for wash in one.washes),
    )


def _lines(one: ClothDrift) -> Iterator[str]:
    since = {"apart": local_number(one.delta_e, 1), "day": long_date(one.baseline.day)}
    yield _("ΔE00 {apart} since {day}.", **since)
    yield f"{sentence(one.direction)}."
    yield _("Grey scale {step} (5 is no change).", step=one.grade.step)
    if one.has_drifted:
        yield _("Take it out of the tests, or enter its new colour.")


# -- drawing -----------------------------------------------------------------------------------------------------------


def drift_svg(shown: DriftShown, headed: bool = True) -> str:
    """Return the picture as the text of an SVG file; without its heading where a paper has one of its own."""
    heading = [svg_heading(24, 42, shown.title)] if headed else []
    parts = [*heading, *_two_cloths(shown), *_chart(shown)]
    rows = [row for line in shown.lines for row in wrap(line, _LETTERS_WIDE)]
    parts += [svg_words(24, 376 + 20 * k, row) for k, row in enumerate(rows)]
    return svg_document(
        _SIZE, _("How {cloth} has changed", cloth=shown.title), shown.told, parts, 0 if headed else _HEAD
    )


def _two_cloths(shown: DriftShown) -> Iterator[str]:
    yield f'<rect x="24" y="70" width="340" height="250" fill="{LOOKING_GREY}"/>'
    first, last = (long_date(one.day) for one in (shown.days[0], shown.days[-1]))
    for (colour, truly), x, day in ((shown.then, 44, first), (shown.now, 194, last)):
        yield svg_cloth((x, 90, 150, 210), colour, truly, LOOKING_GREY, day)
    yield svg_words(24, 344, first, fill=QUIET)
    yield svg_words(364, 344, last, LETTERS, "end", QUIET)


def _chart(shown: DriftShown) -> Iterator[str]:
    highest = max(one.delta_e + (one.spread or 0.0) for one in shown.days)
    top = float(max(_LEAST_TOP, ceil(steady(highest) + 0.5)))
    yield svg_words(_LEFT, _UPPER - 24, _("ΔE00 from the first readings"), fill=QUIET)
    for value in range(int(top) + 1):
        y = _height(value, top)
        yield svg_line((_LEFT, y), (_RIGHT, y), 0.8, HAIRLINE)
        yield svg_words(_LEFT - 8, y + 6, f"{value}", LETTERS, "end")
    limit = _height(DRIFTED_FROM, top)
    yield svg_line((_LEFT, limit), (_RIGHT, limit), 1.5, INK, "7 5")
    days = [one.day for one in shown.days]
    points = [(_along(one.day, days), _height(one.delta_e, top)) for one in shown.days]
    x, y, anchor = _free_place(points, limit)
    yield svg_words(x, y, _("from here on it leaves the tests"), LETTERS, anchor)
    yield svg_curve(points)
    for (x, y), one in zip(points, shown.days, strict=True):
        if one.spread is not None:
            low, high = _height(max(one.delta_e - one.spread, 0.0), top), _height(one.delta_e + one.spread, top)
            yield svg_line((x, low), (x, high), 1.2)
        yield f'<circle cx="{x:.1f}" cy="{y:.1f}" r="5" fill="{INK}"><title>{long_date(one.day)}</title></circle>'
    yield from _days_and_washes(shown, days)


def _free_place(points: Sequence[tuple[float, float]], limit: float) -> tuple[float, float, str]:
    """Return where words at the limit's line meet the curve least: x, y and anchor; right and above if anywhere."""
    xs, ys = np.array(points).T
    ends = {"end": (_RIGHT - _LIMIT_WIDTH, _RIGHT), "start": (_LEFT + 4, _LEFT + _LIMIT_WIDTH)}
    met = []
    for y in (limit - 7, limit + 19):
        for anchor, (left, right) in ends.items():
            along = np.interp(np.linspace(left, right, 40), xs, ys, left=np.inf, right=np.inf)
            hits = int(((along > y - LETTERS - 5) & (along < y + 8)).sum())
            met.append((hits, (right if anchor == "end" else left, y, anchor)))
    return min(met, key=lambda one: one[0])[1]


def _days_and_washes(shown: DriftShown, days: Sequence[str]) -> Iterator[str]:
    named = days[:1]
    for day in days[1:]:
        if _along(day, days) - _along(named[-1], days) >= _DATE_WIDTH:
            named = [*named, day]
    if named[-1] != days[-1]:
        named = [*(named[:-1] or named), days[-1]]
    for day in named:
        words = long_date(day)
        x = min(_along(day, days), _SIZE[0] - _LETTER_WIDTH * len(words) / 2)
        yield svg_words(x, _FOOT + 24, words, LETTERS, "middle", QUIET)
    drawn = [day for day in shown.washes if day <= days[-1]]
    for day in drawn:
        x = _along(day, days)
        yield svg_line((x, _FOOT), (x, _FOOT - 12), 3)
    said = []
    if drawn:
        said.append(ngettext("Short strokes: {count} wash.", "Short strokes: {count} washes.", len(drawn)))
    if any(one.spread for one in shown.days):
        said.append(_("Lines through points: the spread of a day’s readings."))
    for k, line in enumerate(said):
        yield svg_words(_LEFT, _FOOT + 56 + 23 * k, line, fill=QUIET)


def _along(day: str, days: Sequence[str]) -> float:
    first, last, this = (date.fromisoformat(one).toordinal() for one in (days[0], days[-1], day))
    share = (this - first) / max(last - first, 1)
    free = _SHARE_OF_END * (_RIGHT - _LEFT) * 2
    return _LEFT + free + share * (_RIGHT - _LEFT - 2 * free)


def _height(delta_e: float, top: float) -> float:
    return _FOOT - (_FOOT - _UPPER) * delta_e / top
