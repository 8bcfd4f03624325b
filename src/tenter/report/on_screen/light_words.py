"""A checked light in words: on the page and at the terminal, under the same headings."""

from collections.abc import Iterator, Sequence

from tenter.language import (
    N_,
    _,
    all_of,
    gettext_lazy,
    in_a_row,
    local_number,
    local_signed,
    ngettext,
    pgettext,
)
from tenter.light.check import LightCheck, LightCriterion
from tenter.light.face_lux import point_words
from tenter.light.light_drift import LightChange
from tenter.light.light_values import LightValues
from tenter.light.on_kit import LightOnKit, LookShift
from tenter.light.standards import standards_in_a_line
from tenter.light.threshold_terms import own_threshold_lines
from tenter.report.words import terms
from tenter.report.words.wording import sentence

# The headings of the parts that are shown otherwise than as lines.
TO_CORRECT = gettext_lazy("To correct")
STILL_TO_MEASURE = gettext_lazy("Still to measure")
LIGHT_VALUES = gettext_lazy("Values")
MOST_CHANGED = gettext_lazy("Cloths that this light changes most")
STANDARDS = gettext_lazy("What standards ask")  # of what decided nothing, which a page may fold away
_DRAWN = ("Rf ", "R1 ")  # how lines begin whose figures the picture of a spectrum shows
MOST_CLOTHS = 6  # or pairs in a list: what fits beside the rest on a screen
# Two of the 16 hues each; CIECAM02 has pure red at 20 degrees, yellow at 90, green at 164 and blue at 238.
LIGHT_HUES = ("red", "orange", "yellow-green", "green", "blue-green", "blue", "violet", "purple")
BETWEEN_HUES = "yellow"  # has no two hues of its own
_AROUND_YELLOW = {"orange", "yellow-green"}  # the only two neighbours with a hue of another name between them
_LEAST_SHIFT = 0.05  # share of chroma, or radians of hue, from which a hue is named (ours)
_CHEEKS = {"cheek_left", "cheek_right"}  # points of which a check says enough
_NOT_THE_LAMP = N_(
    "ΔE00 is the size of the change for an eye that has adapted to the light; below 1 it is hardly seen."
)


def light_parts(
    done: LightCheck, changes: Sequence[LightChange] = (), effect: LightOnKit | None = None
) -> list[tuple[str, list[str]]]:
    """Return the parts of a light's report: a heading and its lines each; a part with nothing to say is left out."""
    parts = [
        (str(TO_CORRECT), [criterion.text for criterion in done.to_fix]),
        (str(STILL_TO_MEASURE), [criterion.text for criterion in done.not_measured]),
        (_("In order"), [criterion.measured for criterion in done.criteria if criterion.met]),
        (_("Your own thresholds"), own_threshold_lines(done.thresholds)),
        (str(LIGHT_VALUES), [*_further_lines(done.values), *hue_lines(done.values), *done.values.remarks]),
        (_("Since last time"), list(_change_lines(changes))),
    ]
    if effect is not None:
        parts += [
            (str(MOST_CHANGED), list(_cloth_lines(effect))),
            (_("Pairs"), list(_pair_lines(effect))),
            (
                _("Skin"),
                [_shift_line(skin, _("{lightness} skin", lightness=terms.skin(skin.name))) for skin in effect.skins],
            ),
        ]
    parts.append((str(STANDARDS), list(_standards(done.criteria))))
    return [(heading, lines) for heading, lines in parts if lines]


def not_drawn(lines: Sequence[str]) -> list[str]:
    """Return those lines of a light's values that the picture of its spectrum leaves unsaid."""
    return [line for line in lines if not line.startswith(_DRAWN)]


_CHANGED = {
    "cct": N_("colour temperature"),
    "duv": N_("tint"),
    "ra": "Ra",
    "r9": "R9",
    "lux": N_("brightness"),
}


def _change_lines(changes: Sequence[LightChange]) -> Iterator[str]:
    yield from (change.text for change in changes)
    large = [_(_CHANGED[change.of]) for change in changes if change.too_large]
    if large:
        yield _(
            "More than a lamp should change: {values}. If you changed nothing, let the lamp warm up for 15 minutes and "
            "measure again.",
            values=all_of(large),
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
        found.append(in_a_row([f"R{place} {local_number(value, 0)}" for place, value in enumerate(values.r, 1)]))
    if values.face is not None and set(values.face.points) - _CHEEKS:
        points = all_of(
            [f"{terms.feature(point_words(name))} {value:.0f} lx" for name, value in values.face.points.items()]
        )
        uniformity = values.face.uniformity
        if uniformity is not None:
            share = f"{100 * uniformity:.0f}"
            points = _("{points}; the darkest place gets {share} % of the brightest", points=points, share=share)
        found.append(points)
    return [line for line in found if line]


def hue_lines(values: LightValues) -> list[str]:
    """Return in words which hues a light strengthens, dulls or turns; each name stands for two of the 16 bins."""
    if values.local_chroma_shifts is None or values.local_hue_shifts is None:
        return []
    chroma, turned = (_by_name(s) for s in (values.local_chroma_shifts, values.local_hue_shifts))
    softer = [terms.light_hue(name) for name, v in chroma.items() if v <= -_LEAST_SHIFT]
    stronger = [terms.light_hue(name) for name, v in chroma.items() if v >= _LEAST_SHIFT]
    return [
        *([_("Looks softer: {hues}.", hues=all_of(softer))] if softer else []),
        *([_("Looks stronger: {hues}.", hues=all_of(stronger))] if stronger else []),
        *(_turns(place, turned[name]) for place, name in enumerate(LIGHT_HUES) if abs(turned[name]) >= _LEAST_SHIFT),
    ]


def _turns(place: int, by: float) -> str:
    hue, other = terms.light_hue(LIGHT_HUES[place]), terms.light_hue(_next_hue(place, by > 0))
    return sentence(_("{hue} turns toward {other}.", hue=hue, other=other))


def _next_hue(place: int, grows: bool) -> str:
    """Return toward which hue one turns, as its angle grows or shrinks."""
    other = LIGHT_HUES[(place + (1 if grows else -1)) % len(LIGHT_HUES)]
    return BETWEEN_HUES if {LIGHT_HUES[place], other} == _AROUND_YELLOW else other


def _by_name(shifts: Sequence[float]) -> dict[str, float]:
    """Return the mean of each name's two hues; a hue without a sample counts as unmoved."""
    known = [0.0 if shift != shift else shift for shift in shifts]  # noqa: PLR0124  # nan
    return {name: (known[2 * k] + known[2 * k + 1]) / 2 for k, name in enumerate(LIGHT_HUES)}


def _joined(*parts: tuple[str, float | None, str, int]) -> str:
    known = [
        f"{name} {(local_signed if name == 'Duv' else local_number)(value, decimals)}{f' {unit}' if unit else ''}"
        for name, value, unit, decimals in parts
        if value is not None
    ]
    return in_a_row(known)


def _cloth_lines(effect: LightOnKit) -> Iterator[str]:
    for cloth in effect.cloths[:MOST_CLOTHS]:
        yield _shift_line(cloth, f"{cloth.name} {cloth.title}")
    left = len(effect.cloths) - MOST_CLOTHS
    if left > 0:
        yield ngettext("The other {count} cloth changes less.", "The other {count} cloths change less.", left)
    yield _(_NOT_THE_LAMP)
    yield from effect.caveats


def _pair_lines(effect: LightOnKit) -> Iterator[str]:
    tried, stopped = effect.pairs_tried, len(effect.spoilt)
    if not tried:
        yield _("No pair of this kit tests one thing alone in daylight.")
    elif not stopped:
        yield _("All {tried} clean pairs still test one thing alone in this light.", tried=tried)
    else:
        yield ngettext(
            "{count} of {tried} clean pairs stops testing one thing alone in this light:",
            "{count} of {tried} clean pairs stop testing one thing alone in this light:",
            stopped,
            tried=tried,
        )
    for pair in effect.spoilt[:MOST_CLOTHS]:
        yield _(
            "{first} and {second}, for {axis}: they now differ in {mixed} as well.",
            first=pair.first,
            second=pair.second,
            axis=pgettext("axis", pair.axis),
            mixed=all_of([pgettext("differ in", one) for one in pair.mixed]),
        )
    yield from _parted_lines(effect)


def _parted_lines(effect: LightOnKit) -> Iterator[str]:
    for parted in (effect.parted or ())[:MOST_CLOTHS]:
        yield _(
            "{first} and {second} are ΔE00 {day} apart in daylight and {here} here: they match in one light and not in "
            "the other.",
            first=parted.first,
            second=parted.second,
            day=local_number(parted.in_daylight, 1),
            here=local_number(parted.under_light, 1),
        )
    if effect.parted == ():
        yield _("No two cloths that match in daylight part in this light, of those whose spectra were measured.")


def _shift_line(shift: LookShift, name: str) -> str:
    told = {"name": name, "change": shift.words, "size": local_number(shift.delta_e, 1)}
    if shift.measured:
        return _("{name}: {change} (ΔE00 {size})", **told)
    return _("{name}: {change} (ΔE00 {size}, predicted)", **told)


def _standards(criteria: Sequence[LightCriterion]) -> Iterator[str]:
    """Yield what standards ask of each value that was judged; a value that was not measured has no line."""
    asked = [(c.name, standards_in_a_line(c.of)) for c in criteria if c.met is not None]
    lines = [_("{name}: {asked}.", name=name, asked=said) for name, said in asked if said]
    if lines:
        yield _("For comparison only: what is wanted above decided.")
        yield from lines
    if any("*" in line for line in lines):
        yield _("* From memory, not checked against the standard's text.")
