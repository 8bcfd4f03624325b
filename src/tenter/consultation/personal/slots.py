"""The neutrals of a palette by what they are for: instead of black, your navy, a suit, denim, trench, bag, shoe.

Common practice, no source. What a neutral is for says its hue families and roughly how light and how strong it is; the
client's depth moves that a little (the darkest of a light client is not black), and suitability decides within. Who
wears the plain black or white of a shop near the face has it among the neutrals.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from tenter.arrays import BoolArray, FloatArray
from tenter.consultation.cloths.hue_families import HueFamily
from tenter.consultation.colours.colours import Part, StapleAnswer
from tenter.consultation.conventions.palette_quotas import Quotas
from tenter.consultation.conventions.staple_customs import StapleCustom, by_custom
from tenter.consultation.words.traits import UndertoneSide

_DEEP = -1.0  # bench units of depth from which upward a client's neutrals get lighter
_GREENISH, _GREEN_FROM = (118.0, 228.0), 4.0  # hues and least C* of a tint that is bought as a colour, not a neutral
_CREAM_HUES, _CREAM_FROM = (78.0, 104.0), 4.0  # a white that is tinted is a cream for the warm
_COOL_WHITE_MOST = 5.0  # C* of a white for the cool: a tint of snow; more is an icy colour
Range = tuple[float, float]


@dataclass(frozen=True, slots=True)
class NeutralSlot:
    """One place for a neutral: its hue families, and ranges of L* and C*. Common practice, no source.

    per_depth: L* by which the range moves up for each bench unit that the client is lighter than deep. cool_most: the
    most C*ab for the cool, whose browns are cocoa and taupe.
    """

    title: str
    part: Part
    families: tuple[HueFamily, ...]
    lightness: Range
    chroma: Range
    per_depth: float = 0.0
    cool_most: float = 100.0

    def eased(self) -> "NeutralSlot":
        """Return the place as it is filled where nothing of its own hues may be worn: by a neutral about as light."""
        dark, light = self.lightness
        lighter = _EASED_WHITE if self.part is Part.WHITE else (dark - _EASED, light + _EASED)
        title = "" if self.part is Part.WHITE or HueFamily.BLUE in self.families else self.title
        return replace(
            self, title=title, part=Part.NEUTRAL, families=_EASED_FAMILIES, lightness=lighter, chroma=_EASED_CHROMA
        )

    def holds(self, lch: FloatArray, depth: float, side: UndertoneSide | None) -> BoolArray:
        """Tell which colours (n, 3) in L*, C*, h can take the place, shape (n,).

        depth: of the client, in bench units. side: None where both undertones are theirs.
        """
        up = self.per_depth * max(depth - _DEEP, 0.0)
        L, C, h = lch.T
        (dark, light), (quiet, strong) = self.lightness, self.chroma
        strong = min(strong, self.cool_most) if side is UndertoneSide.COOL else strong
        green = _between(h, _GREENISH) & (_GREEN_FROM <= C) & (self.part is not Part.WHITE)
        held: BoolArray = (dark + up <= L) & (light + up >= L) & (quiet <= C) & (strong >= C) & ~green
        return held & _white_for(C, h, side) if self.part is Part.WHITE else held


def _white_for(C: FloatArray, h: FloatArray, side: UndertoneSide | None) -> BoolArray:
    cream = _between(h, _CREAM_HUES)
    snow = (C <= _COOL_WHITE_MOST) & ~_between(h, _GREENISH)
    if side is None:
        return snow | cream
    return cream & (C >= _CREAM_FROM) if side is UndertoneSide.WARM else snow & ~cream


def _between(h: FloatArray, hues: Range) -> BoolArray:
    inside: BoolArray = (h >= hues[0]) & (h <= hues[1])
    return inside


_QUIET_FAMILIES = (HueFamily.DARK, HueFamily.GREY, HueFamily.BROWN)
# What fills a place whose own hues may not be worn: L* further, and the other hues that a neutral may have.
_EASED, _EASED_WHITE, _EASED_CHROMA = 8.0, (80.0, 100.0), (0.0, 24.0)
_EASED_FAMILIES = (*_QUIET_FAMILIES, HueFamily.WHITE, HueFamily.BLUE, HueFamily.TEAL, HueFamily.GREEN)
# Each place with its spans of L* and of C*ab; set by judgement, on the names that shops use.
_DARK = (
    NeutralSlot("instead of black", Part.NEUTRAL, _QUIET_FAMILIES, (14, 24), (0, 15), per_depth=4.0),
    NeutralSlot("your navy", Part.NEUTRAL, (HueFamily.BLUE,), (18, 28), (13, 28), per_depth=3.0),
    NeutralSlot("a suit", Part.NEUTRAL, _QUIET_FAMILIES, (26, 36), (0, 17), per_depth=4.0),
)
_BLACK = NeutralSlot("your black", Part.NEUTRAL, (HueFamily.DARK,), (12, 20), (0, 3))
_MIDDLE = (
    NeutralSlot("denim", Part.NEUTRAL, (HueFamily.BLUE,), (36, 48), (13, 28), per_depth=3.0),
    NeutralSlot(
        "trench", Part.NEUTRAL, (HueFamily.BROWN, HueFamily.GREY), (58, 68), (5, 20), per_depth=3.0, cool_most=12.0
    ),
    NeutralSlot("bag", Part.NEUTRAL, (HueFamily.BROWN,), (30, 44), (10, 36), per_depth=4.0, cool_most=18.0),
    NeutralSlot(
        "shoe", Part.NEUTRAL, (HueFamily.BROWN, HueFamily.GREY), (38, 54), (3, 24), per_depth=3.0, cool_most=12.0
    ),
)
_LIGHT = NeutralSlot("", Part.NEUTRAL, (HueFamily.GREY, HueFamily.BROWN), (72, 86), (2, 15))
_WHITE = NeutralSlot("", Part.WHITE, (HueFamily.WHITE,), (88, 97), (0, 14))
_PLAIN_WHITE = NeutralSlot("", Part.WHITE, (HueFamily.WHITE,), (94, 98), (0, 2.5))
WHITE_TITLE = "your white"
SLOT_TITLES = (*(slot.title for slot in (*_DARK, _BLACK, *_MIDDLE)), WHITE_TITLE)


def slots(quotas: Quotas, customs: Sequence[StapleCustom], ideal: FloatArray) -> tuple[NeutralSlot, ...]:
    """Return the places for neutrals and whites, in the order in which they are filled: as many as the quotas ask for.

    customs: who wears the black and the white of a shop. ideal (3,): of the client, in bench units.
    """
    own_black = by_custom(customs, "black", ideal) is StapleAnswer.NEAR
    own_white = by_custom(customs, "white", ideal) is StapleAnswer.NEAR
    dark = _first((_BLACK, *_DARK[1:]) if own_black else _DARK, quotas.dark)
    whites = (_PLAIN_WHITE if own_white else _WHITE, *(_WHITE for _ in range(quotas.whites - 1)))[: quotas.whites]
    return (*whites, *dark, *_first(_MIDDLE, quotas.middle), *(_LIGHT for _ in range(quotas.light)))


def _first(named: tuple[NeutralSlot, ...], count: int) -> tuple[NeutralSlot, ...]:
    """Return so many of some places; beyond those that have a name, the last again without one."""
    last = named[-1]
    more = replace(last, title="")
    return (*named[:count], *(more for _ in range(count - len(named))))
