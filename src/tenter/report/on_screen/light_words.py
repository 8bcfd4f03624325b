"""A checked light in words: on the page and at the terminal, under the same headings."""

from collections.abc import Iterator, Sequence

from tenter.light.check import LightCheck, LightCriterion
from tenter.light.face_lux import point_words
from tenter.light.light_drift import LightChange
from tenter.light.light_values import LightValues
from tenter.light.on_kit import LightOnKit, LookShift
from tenter.light.standards import standards_in_a_line
from tenter.light.threshold_terms import own_threshold_lines
from tenter.numerals import how_many, listed, number, signed

STANDARDS = "What standards ask"  # the heading of what decided nothing, which a page may fold away
_DRAWN = ("Rf ", "R1 ")  # how lines begin whose figures the picture of a spectrum shows
_MOST_SHOWN = 6  # cloths or pairs in a list: what fits beside the rest on a screen
# Two of the 16 hues each; CIECAM02 has pure red at 20 degrees, yellow at 90, green at 164 and blue at 238.
_HUES = ("red", "orange", "yellow-green", "green", "blue-green", "blue", "violet", "purple")
_AROUND_YELLOW = {"orange", "yellow-green"}  # the only two neighbours with a hue of another name between them
_LEAST_SHIFT = 0.05  # share of chroma, or radians of hue, from which a hue is named (ours)
_CHEEKS = {"cheek_left", "cheek_right"}  # points of which a check says enough
_NOT_THE_LAMP = "ΔE00 is the size of the change for an eye that has adapted to the light; below 1 it is hardly seen."


def light_parts(
    done: LightCheck, changes: Sequence[LightChange] = (), effect: LightOnKit | None = None
) -> list[tuple[str, list[str]]]:
    """Return the parts of a light's report: a heading and its lines each; a part with nothing to say is left out."""
    parts = [
        ("To correct", [criterion.text for criterion in done.to_fix]),
        ("Still to measure", [criterion.text for criterion in done.not_measured]),
        ("In order", [f"{c.name}: {c.found}. Wanted: {c.asked}." for c in done.criteria if c.met]),
        ("Your own thresholds", own_threshold_lines(done.thresholds)),
        ("Values", [*_further_lines(done.values), *hue_lines(done.values), *done.values.remarks]),
        ("Since last time", list(_change_lines(changes))),
    ]
    if effect is not None:
        parts += [
            ("Cloths that this light changes most", list(_cloth_lines(effect))),
            ("Pairs", list(_pair_lines(effect))),
            ("Skin", [_shift_line(skin, f"{skin.name} skin") for skin in effect.skins]),
        ]
    parts.append((STANDARDS, list(_standards(done.criteria))))
    return [(heading, lines) for heading, lines in parts if lines]


def not_drawn(lines: Sequence[str]) -> list[str]:
    """Return those lines of a light's values that the picture of its spectrum leaves unsaid."""
    return [line for line in lines if not line.startswith(_DRAWN)]


_CHANGED = {"cct": "colour temperature", "duv": "tint", "ra": "Ra", "r9": "R9", "lux": "brightness"}


def _change_lines(changes: Sequence[LightChange]) -> Iterator[str]:
    yield from (change.text for change in changes)
    large = [_CHANGED[change.of] for change in changes if change.too_large]
    if large:
        yield (
            f"More than a lamp should change: {listed(large)}. If you changed nothing, let the lamp warm up for 15 "
            "minutes and measure again."
        )


def value_lines(values: LightValues) -> list[str]:
    """Return what is known of a light in one line for colour, rendering, fidelity, test colours and brightness."""
    found = [
        _joined(("CCT", values.cct_kelvin, "K", 0), ("Duv", values.duv, "", 4)),
        _joined(("Ra", values.ra, "", 1), ("R9", values.r9, "", 1)),
        *_further_lines(values),
    ]
    return [line for line in found if line]


def _further_lines(values: LightValues) -> list[str]:
    """Return the values that no threshold of a check speaks of."""
    found = [_joined(("Rf", values.rf, "", 1), ("Rg", values.rg, "", 1))]
    if values.r is not None:
        found.append(", ".join(f"R{place} {number(value, 0)}" for place, value in enumerate(values.r, 1)))
    if values.face is not None and set(values.face.points) - _CHEEKS:
        points = [f"{point_words(name)} {value:.0f} lx" for name, value in values.face.points.items()]
        uniformity = values.face.uniformity
        darkest = "" if uniformity is None else f"; the darkest place gets {100 * uniformity:.0f} % of the brightest"
        found.append(f"{listed(points)}{darkest}")
    return [line for line in found if line]


def hue_lines(values: LightValues) -> list[str]:
    """Return in words which hues a light strengthens, dulls or turns; each name stands for two of the 16 bins."""
    if values.local_chroma_shifts is None or values.local_hue_shifts is None:
        return []
    chroma, turned = (_by_name(s) for s in (values.local_chroma_shifts, values.local_hue_shifts))
    said = [
        _named("Looks softer", [name for name, v in chroma.items() if v <= -_LEAST_SHIFT]),
        _named("Looks stronger", [name for name, v in chroma.items() if v >= _LEAST_SHIFT]),
        *(
            f"{name.capitalize()} turns toward {_next_hue(place, turned[name] > 0)}."
            for place, name in enumerate(_HUES)
            if abs(turned[name]) >= _LEAST_SHIFT
        ),
    ]
    return [line for line in said if line]


def _next_hue(place: int, grows: bool) -> str:
    """Return toward which hue one turns, as its angle grows or shrinks."""
    other = _HUES[(place + (1 if grows else -1)) % len(_HUES)]
    return "yellow" if {_HUES[place], other} == _AROUND_YELLOW else other


def _by_name(shifts: Sequence[float]) -> dict[str, float]:
    """Return the mean of each name's two hues; a hue without a sample counts as unmoved."""
    known = [0.0 if shift != shift else shift for shift in shifts]  # noqa: PLR0124  # nan
    return {name: (known[2 * k] + known[2 * k + 1]) / 2 for k, name in enumerate(_HUES)}


def _named(what: str, names: Sequence[str]) -> str:
    return f"{what}: {listed(names)}." if names else ""


def _joined(*parts: tuple[str, float | None, str, int]) -> str:
    known = [
        f"{name} {(signed if name == 'Duv' else number)(value, decimals)}{f' {unit}' if unit else ''}"
        for name, value, unit, decimals in parts
        if value is not None
    ]
    return ", ".join(known)


def _cloth_lines(effect: LightOnKit) -> Iterator[str]:
    for cloth in effect.cloths[:_MOST_SHOWN]:
        yield _shift_line(cloth, f"{cloth.name} {cloth.title}")
    left = len(effect.cloths) - _MOST_SHOWN
    if left > 0:
        yield f"The other {how_many(left, 'cloth')} {'changes' if left == 1 else 'change'} less."
    yield _NOT_THE_LAMP
    yield from effect.caveats


def _pair_lines(effect: LightOnKit) -> Iterator[str]:
    if not effect.pairs_tried:
        yield "No pair of this kit tests one thing alone in daylight."
    elif not effect.spoilt:
        yield f"All {effect.pairs_tried} clean pairs still test one thing alone in this light."
    else:
        stop = "stops" if len(effect.spoilt) == 1 else "stop"
        yield f"{len(effect.spoilt)} of {effect.pairs_tried} clean pairs {stop} testing one thing alone in this light:"
    for pair in effect.spoilt[:_MOST_SHOWN]:
        mixed = listed([str(m) for m in pair.mixed])
        yield f"{pair.first} and {pair.second}, for {pair.axis}: they now differ in {mixed} as well."
    for parted in (effect.parted or ())[:_MOST_SHOWN]:
        yield (
            f"{parted.first} and {parted.second} are ΔE00 {number(parted.in_daylight, 1)} apart in daylight and "
            f"{number(parted.under_light, 1)} here: they match in one light and not in the other."
        )
    if effect.parted == ():
        yield "No two cloths that match in daylight part in this light, of those whose spectra were measured."


def _shift_line(shift: LookShift, name: str) -> str:
    predicted = "" if shift.measured else ", predicted"
    return f"{name}: {shift.words} (ΔE00 {number(shift.delta_e, 1)}{predicted})"


def _standards(criteria: Sequence[LightCriterion]) -> Iterator[str]:
    """Yield what standards ask of each value that was judged; a value that was not measured has no line."""
    asked = [(c.name, standards_in_a_line(c.of)) for c in criteria if c.met is not None]
    lines = [f"{name}: {said}." for name, said in asked if said]
    if lines:
        yield "For comparison only: what is wanted above decided."
        yield from lines
    if any("*" in line for line in lines):
        yield "* From memory, not checked against the standard's text."
