"""The check of a viewing light: pass, or what to do about it, in plain words."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from tenter.arrays import steady
from tenter.light.light_values import LightBasis, LightValues
from tenter.light.standards import standards_on
from tenter.light.threshold_terms import THRESHOLD_TERMS
from tenter.light.thresholds import PRACTICE, LightThresholds
from tenter.numerals import listed, number, signed, trimmed

_MOST_DECIMALS = 9  # of a value beside its threshold: past them the two are the same


class LightVerdict(StrEnum):
    """What a check comes to."""

    PASS = "pass"
    FIX = "fix"
    INCOMPLETE = "incomplete"  # nothing is wrong with what was measured, and not everything was


@dataclass(frozen=True, slots=True)
class LightCriterion:
    """One value of a light against its threshold.

    of: which value, as in the JSON. found: the value in words, empty where it was not measured. wanted: the threshold
    in words. met: None where it was not measured. fix: what to do; empty where it is met. own: whether the threshold
    differs from practice. standards: what standards ask, a sentence each.
    """

    of: str
    name: str
    found: str
    wanted: str
    met: bool | None
    fix: str
    own: bool = False

    @property
    def asked(self) -> str:
        """What is wanted in words, and that it is the studio's own threshold where it is."""
        return f"{self.wanted}, your own threshold" if self.own else self.wanted

    @property
    def standards(self) -> tuple[str, ...]:
        """What standards ask of this value."""
        return standards_on(self.of)

    @property
    def text(self) -> str:
        """What is found, what is wanted, and what to do, in plain sentences."""
        found = f" {self.found}" if self.met is not None else " not measured"
        return f"{self.name}:{found}. Wanted: {self.asked}.{' ' if self.fix else ''}{self.fix}"

    def to_json(self) -> dict[str, object]:
        """Return it as plain values for JSON."""
        return {
            "code": self.of if self.met is not None else f"{self.of}_not_measured",
            "text": self.text,
            "met": self.met,
            "own": self.own,
            "standards": list(self.standards),
        }


@dataclass(frozen=True, slots=True)
class LightCheck:
    """A light, the thresholds it was held to, and each criterion in the order in which to mend them."""

    values: LightValues
    thresholds: LightThresholds
    criteria: tuple[LightCriterion, ...]

    @property
    def to_fix(self) -> tuple[LightCriterion, ...]:
        """The criteria that are not met."""
        return tuple(c for c in self.criteria if c.met is False)

    @property
    def not_measured(self) -> tuple[LightCriterion, ...]:
        """The criteria of which nothing is known."""
        return tuple(c for c in self.criteria if c.met is None)

    @property
    def verdict(self) -> LightVerdict:
        """What the check comes to."""
        if self.to_fix:
            return LightVerdict.FIX
        return LightVerdict.INCOMPLETE if self.not_measured else LightVerdict.PASS

    @property
    def headline(self) -> str:
        """The verdict in one sentence."""
        if self.to_fix:
            return f"Don't drape in this light yet. To correct: {_names(self.to_fix)}."
        if self.not_measured:
            known = "Nothing that was measured speaks against this light" if self._measured else "Nothing was measured"
            return f"{known}. Still to measure: {_names(self.not_measured)}."
        return "This light is good for draping."

    @property
    def _measured(self) -> bool:
        return any(c.met is not None for c in self.criteria)

    def to_json(self) -> dict[str, object]:
        """Return values, verdict and reasons: what is to be mended, then what is to be measured."""
        return {
            **self.values.to_json(),
            "verdict": str(self.verdict),
            "headline": self.headline,
            "reasons": [c.to_json() for c in (*self.to_fix, *self.not_measured)],
            "criteria": [c.to_json() for c in self.criteria],
        }


def _percent(share: float) -> str:
    return trimmed(float(steady(100 * share)))


def _names(criteria: Sequence[LightCriterion]) -> str:
    return listed([f"{c.name[:1].lower()}{c.name[1:]}" for c in criteria])


def check_light(values: LightValues, thresholds: LightThresholds = PRACTICE) -> LightCheck:
    """Return the check of a light against thresholds."""
    own = {term.of for term in THRESHOLD_TERMS if term.name in thresholds.own}
    criteria = (replace(one, own=one.of in own) for one in _criteria(values, thresholds))
    return LightCheck(values, thresholds, tuple(criteria))


def _criteria(v: LightValues, t: LightThresholds) -> Iterator[LightCriterion]:
    yield _illuminance(v, t)
    yield _cheeks(v, t)
    yield _temperature(v, t)
    yield _duv(v, t)
    yield _index("ra", "Colour rendering (Ra)", v, t.least_ra, _better_lamp(t))
    yield _index("r9", "Rendering of strong red (R9)", v, t.least_r9, _better_red(t))
    if t.least_rf > 0:
        yield _index("rf", "Colour fidelity (Rf)", v, t.least_rf, _better_lamp(t))


def _better_lamp(t: LightThresholds) -> str:
    return (
        f"Colours look changed under this lamp. Replace it by one sold with Ra {trimmed(t.least_ra)} or more and "
        f"R9 {trimmed(t.least_r9)} or more, and keep other lamps off while you drape."
    )


def _better_red(t: LightThresholds) -> str:
    return (
        "Reds, and the red in skin and lips, look dull or wrong under this lamp. Replace it by one whose data sheet "
        f"states R9 {trimmed(t.least_r9)} or more."
    )


def _illuminance(v: LightValues, t: LightThresholds) -> LightCriterion:
    name, wanted = "Brightness on the face", f"{trimmed(t.least_lux)} to {trimmed(t.most_lux)} lx"
    if v.lux is None:
        how = "Hold a lux meter at the face, looking out from the skin, and give one value or one for each point."
        return LightCriterion("lux", name, "", wanted, None, how)
    lux, fix = steady(v.lux), ""
    if lux < t.least_lux:
        fix = "Move the lamps nearer, or add one of the same kind: in too little light small differences are not seen."
    elif lux > t.most_lux:
        fix = "Turn the lamps down or move them away, and keep direct sun off the face."
    found = f"{_beside(lux, 0, t.least_lux, t.most_lux)} lx"
    points = 0 if v.face is None else len(v.face.points)
    mean = f", the mean of {points} points" if points > 1 else ""
    return LightCriterion("lux", name, f"{found}{mean}", wanted, not fix, fix)


def _cheeks(v: LightValues, t: LightThresholds) -> LightCriterion:
    name, wanted = "Balance of the cheeks", f"a difference of {_percent(t.most_cheek_difference)} % at most"
    apart = None if v.face is None else v.face.cheek_difference
    if v.face is None or apart is None:
        how = "Measure both cheeks, and give the lux of each."
        return LightCriterion("cheeks", name, "", wanted, None, how)
    left, right = v.face.cheek_left or 0.0, v.face.cheek_right or 0.0
    share, dark = _beside(100 * apart, 0, 100 * t.most_cheek_difference), "left" if left < right else "right"
    by = f"the {dark} {share} % darker" if apart > 0 else "alike"
    found = f"left {left:.0f} lx and right {right:.0f} lx, {by}"
    met = bool(steady(apart) <= t.most_cheek_difference)
    fix = (
        f"The client's {dark} cheek is in shade, which looks like a change in the face. Turn the chair, draw the blind "
        f"on the bright side, or add light on their {dark}."
    )
    return LightCriterion("cheeks", name, found, wanted, met, "" if met else fix)


def _temperature(v: LightValues, t: LightThresholds) -> LightCriterion:
    own = {"least_cct", "most_cct"} & set(t.own)
    name, wanted = "Colour temperature", f"{trimmed(t.least_cct)} to {trimmed(t.most_cct)} K"
    use = f"Use lamps of {wanted}." if own else "Use daylight lamps of 5000 to 6500 K."
    wanted = wanted if own else f"{wanted}, as daylight has"
    if v.cct_kelvin is None:
        how = "Read it off the meter, or measure a spectrum."
        if v.basis is LightBasis.PHOTOGRAPH:
            how = f"A photograph shows it only where the camera's white balance was fixed. {how}"
        return LightCriterion("cct", name, "", wanted, None, how)
    kelvin, fix = steady(v.cct_kelvin), ""
    if kelvin < t.least_cct:
        how = "yellower than you want it" if own else "yellowish, and warm and cool are hard to tell apart"
        fix = f"The light is {how}. {use}"
    elif kelvin > t.most_cct:
        fix = f"The light is {'bluer than you want it' if own else 'bluish'}. Draw a blind against the blue sky. {use}"
    found = f"{_beside(kelvin, 0, t.least_cct, t.most_cct)} K"
    return LightCriterion("cct", name, found, wanted, not fix, fix)


def _duv(v: LightValues, t: LightThresholds) -> LightCriterion:
    name, wanted = "Tint (Duv)", f"{trimmed(t.most_duv)} at most, either way"
    if v.duv is None:
        return LightCriterion("duv", name, "", wanted, None, "Read it off the meter, or measure a spectrum.")
    duv = steady(v.duv)
    met = bool(abs(duv) <= t.most_duv)
    tint = "greenish" if duv > 0 else "pinkish"
    fix = (
        f"The light is {tint}. Look for a coloured wall, a lamp shade or green outside the window that colours it, and "
        "for a tube or LED of poor quality; take it away or replace it."
    )
    found = _beside(duv, 4, -t.most_duv, t.most_duv, write=signed)
    return LightCriterion("duv", name, found, wanted, met, "" if met else fix)


def _index(of: str, name: str, v: LightValues, least: float, fix: str) -> LightCriterion:
    value, wanted = getattr(v, of), f"{trimmed(least)} or more"
    if value is None:
        how = "It takes a spectrum or a meter that shows it; a lamp's data sheet states it for a new lamp."
        if v.basis is LightBasis.PHOTOGRAPH:
            how = "No photograph can tell it. " + how
        return LightCriterion(of, name, "", wanted, None, how)
    met = bool(steady(value) >= least)
    return LightCriterion(of, name, _beside(value, 1, least), wanted, met, "" if met else fix)


def _beside(value: float, decimals: int, *limits: float, write: Callable[[float, int], str] = number) -> str:
    """Return a value with as many more decimals as it takes to look like no limit that it isn't at."""
    at = {limit for limit in limits if steady(value) == steady(limit)}
    close = [limit for limit in limits if limit not in at]
    while decimals < _MOST_DECIMALS and write(value, decimals) in {write(limit, decimals) for limit in close}:
        decimals += 1
    return write(value, decimals)
