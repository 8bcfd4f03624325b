"""The check of a viewing light: pass, or what to do about it, in plain words."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from tenter.arrays import steady
from tenter.language import N_, _, all_of, as_written, ngettext
from tenter.light.light_values import LightBasis, LightValues
from tenter.light.standards import standards_on
from tenter.light.threshold_terms import THRESHOLD_TERMS
from tenter.light.thresholds import PRACTICE, LightThresholds
from tenter.numerals import number, signed, trimmed

_MOST_DECIMALS = 9  # of a value beside its threshold: past them the two are the same
# Each value as it is said inside a sentence.
_IN_A_SENTENCE = {
    "lux": N_("brightness on the face"),
    "cheeks": N_("balance of the cheeks"),
    "cct": N_("colour temperature"),
    "duv": N_("tint (Duv)"),
    "ra": N_("colour rendering (Ra)"),
    "r9": N_("rendering of strong red (R9)"),
    "rf": N_("colour fidelity (Rf)"),
}


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
        return _("{wanted}, your own threshold", wanted=self.wanted) if self.own else self.wanted

    @property
    def standards(self) -> tuple[str, ...]:
        """What standards ask of this value."""
        return standards_on(self.of)

    @property
    def text(self) -> str:
        """What is found, what is wanted, and what to do, in plain sentences."""
        said = (
            _("{value}: not measured. Wanted: {wanted}.", value=self.name, wanted=self.asked)
            if self.met is None
            else self.measured
        )
        return f"{said} {self.fix}" if self.fix else said

    @property
    def measured(self) -> str:
        """What is found and what is wanted, in plain sentences."""
        return _("{value}: {found}. Wanted: {wanted}.", value=self.name, found=self.found, wanted=self.asked)

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
        """The verdict, and what it is for."""
        if self.to_fix:
            return f"{self.in_brief} " + _("To correct: {values}.", values=_names(self.to_fix))
        if self.not_measured:
            return f"{self.in_brief} " + _("Still to measure: {values}.", values=_names(self.not_measured))
        return self.in_brief

    @property
    def in_brief(self) -> str:
        """The verdict in one short sentence."""
        if self.to_fix:
            return _("Don't drape in this light yet.")
        if self.not_measured:
            known = self._measured
            return _("Nothing that was measured speaks against this light.") if known else _("Nothing was measured.")
        return _("This light is good for draping.")

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
    return _trimmed(float(steady(100 * share)))


def _trimmed(value: float) -> str:
    return as_written(trimmed(value))


def _names(criteria: Sequence[LightCriterion]) -> str:
    return all_of([_(_IN_A_SENTENCE[c.of]) for c in criteria])


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
    yield _index("ra", _("Colour rendering (Ra)"), v, t.least_ra, _better_lamp(t))
    yield _index("r9", _("Rendering of strong red (R9)"), v, t.least_r9, _better_red(t))
    if t.least_rf > 0:
        yield _index("rf", _("Colour fidelity (Rf)"), v, t.least_rf, _better_lamp(t))


def _better_lamp(t: LightThresholds) -> str:
    return _(
        "Colours look changed under this lamp. Replace it by one sold with Ra {ra} or more and R9 {r9} or more, and "
        "keep other lamps off while you drape.",
        ra=_trimmed(t.least_ra),
        r9=_trimmed(t.least_r9),
    )


def _better_red(t: LightThresholds) -> str:
    return _(
        "Reds, and the red in skin and lips, look dull or wrong under this lamp. Replace it by one whose data sheet "
        "states R9 {r9} or more.",
        r9=_trimmed(t.least_r9),
    )


def _illuminance(v: LightValues, t: LightThresholds) -> LightCriterion:
    name = _("Brightness on the face")
    wanted = _("{low} to {high} lx", low=_trimmed(t.least_lux), high=_trimmed(t.most_lux))
    if v.lux is None:
        how = _("Hold a lux meter at the face, looking out from the skin, and give one value or one for each point.")
        return LightCriterion("lux", name, "", wanted, None, how)
    lux, fix = steady(v.lux), ""
    if lux < t.least_lux:
        fix = _(
            "Move the lamps nearer, or add one of the same kind: in too little light small differences are not seen."
        )
    elif lux > t.most_lux:
        fix = _("Turn the lamps down or move them away, and keep direct sun off the face.")
    found = f"{_beside(lux, 0, t.least_lux, t.most_lux)} lx"
    points = 0 if v.face is None else len(v.face.points)
    if points > 1:
        found = ngettext("{lux}, the mean of {count} point", "{lux}, the mean of {count} points", points, lux=found)
    return LightCriterion("lux", name, found, wanted, not fix, fix)


_ALIKE = N_("left {left} lx and right {right} lx, alike")
_LEFT_DARKER = N_("left {left} lx and right {right} lx, the left {share} % darker")
_RIGHT_DARKER = N_("left {left} lx and right {right} lx, the right {share} % darker")
_LEFT_IN_SHADE = N_(
    "The client's left cheek is in shade, which looks like a change in the face. Turn the chair, draw the blind on the "
    "bright side, or add light on their left."
)
_RIGHT_IN_SHADE = N_(
    "The client's right cheek is in shade, which looks like a change in the face. Turn the chair, draw the blind on "
    "the bright side, or add light on their right."
)


def _cheeks(v: LightValues, t: LightThresholds) -> LightCriterion:
    name = _("Balance of the cheeks")
    wanted = _("a difference of {share} % at most", share=_percent(t.most_cheek_difference))
    apart = None if v.face is None else v.face.cheek_difference
    if v.face is None or apart is None:
        how = _("Measure both cheeks, and give the lux of each.")
        return LightCriterion("cheeks", name, "", wanted, None, how)
    left, right = v.face.cheek_left or 0.0, v.face.cheek_right or 0.0
    share = _beside(100 * apart, 0, 100 * t.most_cheek_difference)
    told = _ALIKE if apart <= 0 else _LEFT_DARKER if left < right else _RIGHT_DARKER
    found = _(told, left=f"{left:.0f}", right=f"{right:.0f}", share=share)
    met = bool(steady(apart) <= t.most_cheek_difference)
    fix = "" if met else _(_LEFT_IN_SHADE if left < right else _RIGHT_IN_SHADE)
    return LightCriterion("cheeks", name, found, wanted, met, fix)


_READ_IT_OFF = N_("Read it off the meter, or measure a spectrum.")
_YELLOWER = N_("The light is yellower than you want it.")
_YELLOWISH = N_("The light is yellowish, and warm and cool are hard to tell apart.")
_BLUER = N_("The light is bluer than you want it.")
_BLUISH = N_("The light is bluish.")


def _temperature(v: LightValues, t: LightThresholds) -> LightCriterion:
    own = {"least_cct", "most_cct"} & set(t.own)
    name, ends = _("Colour temperature"), {"low": _trimmed(t.least_cct), "high": _trimmed(t.most_cct)}
    wanted = _("{low} to {high} K", **ends) if own else _("{low} to {high} K, as daylight has", **ends)
    if v.cct_kelvin is None:
        how = _(_READ_IT_OFF)
        if v.basis is LightBasis.PHOTOGRAPH:
            how = _("A photograph shows it only where the camera's white balance was fixed.") + f" {how}"
        return LightCriterion("cct", name, "", wanted, None, how)
    kelvin, fix = steady(v.cct_kelvin), []
    if kelvin < t.least_cct:
        fix = [_(_YELLOWER if own else _YELLOWISH)]
    elif kelvin > t.most_cct:
        fix = [_(_BLUER if own else _BLUISH), _("Draw a blind against the blue sky.")]
    if fix:
        fix.append(_("Use lamps of {low} to {high} K.", **ends) if own else _("Use daylight lamps of 5000 to 6500 K."))
    found = f"{_beside(kelvin, 0, t.least_cct, t.most_cct)} K"
    return LightCriterion("cct", name, found, wanted, not fix, " ".join(fix))


def _duv(v: LightValues, t: LightThresholds) -> LightCriterion:
    name, wanted = _("Tint (Duv)"), _("{most} at most, either way", most=_trimmed(t.most_duv))
    if v.duv is None:
        return LightCriterion("duv", name, "", wanted, None, _(_READ_IT_OFF))
    duv = steady(v.duv)
    met = bool(abs(duv) <= t.most_duv)
    tint = _("The light is greenish.") if duv > 0 else _("The light is pinkish.")
    look = _(
        "Look for a coloured wall, a lamp shade or green outside the window that colours it, and for a tube or LED of "
        "poor quality; take it away or replace it."
    )
    found = _beside(duv, 4, -t.most_duv, t.most_duv, write=signed)
    return LightCriterion("duv", name, found, wanted, met, "" if met else f"{tint} {look}")


def _index(of: str, name: str, v: LightValues, least: float, fix: str) -> LightCriterion:
    value, wanted = getattr(v, of), _("{least} or more", least=_trimmed(least))
    if value is None:
        how = _("It takes a spectrum or a meter that shows it; a lamp's data sheet states it for a new lamp.")
        if v.basis is LightBasis.PHOTOGRAPH:
            how = _("No photograph can tell it.") + f" {how}"
        return LightCriterion(of, name, "", wanted, None, how)
    met = bool(steady(value) >= least)
    return LightCriterion(of, name, _beside(value, 1, least), wanted, met, "" if met else fix)


def _beside(value: float, decimals: int, *limits: float, write: Callable[[float, int], str] = number) -> str:
    """Return a value with as many more decimals as it takes to look like no limit that it isn't at."""
    at = {limit for limit in limits if steady(value) == steady(limit)}
    close = [limit for limit in limits if limit not in at]
    while decimals < _MOST_DECIMALS and write(value, decimals) in {write(limit, decimals) for limit in close}:
        decimals += 1
    return as_written(write(value, decimals))
