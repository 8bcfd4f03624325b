"""What is off in a garment's colour, in the words of whoever wears it: too warm, a touch dark, clarity right."""

from collections.abc import Mapping

from tenter.arrays import steady
from tenter.consultation.axes import Axis
from tenter.consultation.garments.role import GarmentAnswer, Hold
from tenter.consultation.personal.suitability import Offset
from tenter.language import N_, _, in_a_row

_IS_RIGHT = {
    Axis.UNDERTONE: N_("undertone right"),
    Axis.DEPTH: N_("depth right"),
    Axis.CLARITY: N_("clarity right"),
}
_TOUCH_OFF = {
    Axis.UNDERTONE: (N_("a touch cool"), N_("a touch warm")),
    Axis.DEPTH: (N_("a touch dark"), N_("a touch light")),
    Axis.CLARITY: (N_("a touch soft"), N_("a touch bright")),
}
# On which axes it is said what is off. What the palette answers is not answered twice: of a colour that is a yes by
# the palette nothing is off, and a white goes by its undertone alone.
_SAID: dict[Hold | None, tuple[Axis, ...]] = {Hold.PALETTE: (), Hold.WHITE: (Axis.UNDERTONE,)}
_OFF = {
    Axis.UNDERTONE: (N_("too cool"), N_("too warm")),
    Axis.DEPTH: (N_("too dark"), N_("too light")),
    Axis.CLARITY: (N_("too soft"), N_("too bright")),
}
_MUCH_OFF = {
    Axis.UNDERTONE: (N_("much too cool"), N_("much too warm")),
    Axis.DEPTH: (N_("much too dark"), N_("much too light")),
    Axis.CLARITY: (N_("much too soft"), N_("much too bright")),
}
RIGHT, TOUCH, MUCH = 0.35, 0.9, 1.6  # bench units: what is right, a touch off, too much, and much too much


def garment_off_words(off: Mapping[Axis, Offset], answer: GarmentAnswer | None = None, held: Hold | None = None) -> str:
    """Return what is off in a few words: 'a touch cool, depth right, clarity right'.

    answer, held: what it is said beside. What is worn near the face is a touch off at most, and "" is returned where
    nothing is off by the rule that the answer follows from. The borders between right, a touch, too and much too are
    ours.
    """
    near = answer is GarmentAnswer.NEAR_FACE
    axes = off_axes(held)
    return in_a_row([off_on(axis, off[axis], near) for axis in axes]) if axes else ""


def off_axes(held: Hold | None) -> tuple[Axis, ...]:
    """Return on which axes it is said what is off, of an answer that follows from a rule, or from none."""
    return _SAID.get(held, tuple(Axis))


def off_on(axis: Axis, offset: Offset, near: bool = False) -> str:
    """Return what is off on an axis in words, a touch at most for what is worn near the face: 'a touch cool'."""
    size = steady(abs(offset.mean))
    if size < RIGHT:
        return _(_IS_RIGHT[axis])
    words = _TOUCH_OFF if near or size < TOUCH else _OFF if size < MUCH else _MUCH_OFF
    said = _(words[axis][offset.mean > 0])
    return said if offset.low > 0 or offset.high < 0 else _("perhaps {off}", off=said)
