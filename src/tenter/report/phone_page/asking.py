"""The question that the page answers, as data: what to say of each colour of the grid and of each name, word for word.

Every sentence comes from `garment_words.py` and `garment_off.py`. The page puts them in order and makes none itself.
"""

import base64
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from tenter.arrays import BoolArray, FloatArray, IntArray, steady
from tenter.colorimetry.measurement import Colours
from tenter.consultation.axes import Axis
from tenter.consultation.cloths.hue_families import hue_families
from tenter.consultation.colours.borders import HARDLY_DIFFERS
from tenter.consultation.colours.colour_words import book_words, other_words
from tenter.consultation.colours.colours import Basis, PaletteColour, Part, PersonalPalette
from tenter.consultation.colours.names import known_names
from tenter.consultation.conventions.staple_customs import STAPLES
from tenter.consultation.garments.check import SURE_OF_ROLE, GarmentCheck, NearestColour, Unclear
from tenter.consultation.garments.gaps import CLOSE
from tenter.consultation.garments.garment import GarmentColour, KnownBy
from tenter.consultation.garments.given import FAMILIES, named_garment
from tenter.consultation.garments.role import ROLES, GarmentAnswer
from tenter.consultation.personal.suitability import Known, Offset
from tenter.consultation.wishes.wishes import NO_WISHES, Wishes
from tenter.language import N_, SOURCE, _, in_a_row, language
from tenter.report.on_screen.garment_off import MUCH, RIGHT, TOUCH, off_axes, off_on
from tenter.report.on_screen.garment_words import (
    HIGH_FROM,
    MEDIUM_FROM,
    OFF_LINE,
    SURE_BY,
    TYPICAL,
    confidence_words,
    garment_words,
    held_words,
)
from tenter.report.phone_page.asked import HOLDING_RULES, NO_COLOUR, AskedColours, asked_of
from tenter.report.phone_page.content import ALIKE, HOLD_BESIDE_IT, OTHERWISE, UNKNOWN
from tenter.report.phone_page.refused import refused_of, refused_words
from tenter.report.phone_page.screen_colours import LEVELS, grid_families, grid_lab, hex_of_names
from tenter.report.words import terms

_MASKS = 1 << len(ROLES)  # sets of roles, as bits
_OFF_SIZES = (RIGHT, TOUCH, MUCH)  # from where a colour is a touch off, off, and much too far off
_CLOSENESS = (HARDLY_DIFFERS, CLOSE)
_SURE_FROM = (HIGH_FROM, MEDIUM_FROM)
# ΔE00 by which a sample is off: one of each word.
_SAMPLE_OFF = (0.0, (RIGHT + TOUCH) / 2, (TOUCH + MUCH) / 2, 2 * MUCH)
_BY_SCREEN = N_("Confidence from a screen’s colour: {level}.")
_LEVELS = ("high", "medium", "low")


@dataclass(frozen=True, slots=True, eq=False)
class Asking:
    """What the page asks and how it answers.

    sizes: the fields of an answer, packed into one whole number, the first one lowest, with how many values each has.
    cells (n,): the answers to the grid of n colours. names: each name that is known, with its hex, its answer, and 1
    where it is one of many shades. sentences: by field and value, "" where nothing is said. also: other words, each
    with the name that it stands for.
    """

    sizes: tuple[tuple[str, int], ...]
    cells: IntArray
    names: tuple[tuple[str, str, int, int], ...]
    sentences: dict[str, object]
    also: Mapping[str, str]

    @property
    def bytes_a_cell(self) -> int:
        """How many bytes one answer takes."""
        return (int(np.prod([size for _, size in self.sizes], dtype=object) - 1).bit_length() + 7) // 8

    def data(self) -> dict[str, object]:
        """Return all of it as plain values for the page's script."""
        raw = self.cells.astype("<u8").view(np.uint8).reshape(-1, 8)[:, : self.bytes_a_cell]
        return {
            "levels": LEVELS,
            "bytes": self.bytes_a_cell,
            "sizes": self.sizes,
            "table": base64.b64encode(raw.tobytes()).decode("ascii"),
            "names": self.names,
            "also": self.also,
            **self.sentences,
        }


def asking(palette: PersonalPalette, known: Known, wishes: Wishes = NO_WISHES) -> Asking:
    """Return what the page asks and answers for a client; the palette has colours.

    wishes: a colour that the client hates or may not wear is answered with what they said of it first.
    """
    named = _named(palette)
    labs, reach = (np.array(values) for values in zip(*((c.lab, c.half_width_90) for _, c in named), strict=True))
    own = (*palette.colours, *palette.borrowed)
    asked = asked_of(palette, known, labs, reach)
    whites = np.array([colour.part is Part.WHITE for colour in own])
    refused = [refused_of(wishes, grid_lab(), grid_families()), refused_of(wishes, labs, hue_families(labs))]
    fields = [_Fields.of(one, of_one, whites) for one, of_one in zip(asked, refused, strict=True)]
    typical = steady(asked[1].apart) > 0  # a name of the palette is its own colour
    wears, nears, refusals = (_unique([getattr(f, part) for f in fields]) for part in ("wear", "near", "wish"))
    sizes = _sizes(len(wears), len(nears), len(refusals))
    packed = [_packed(f, wears, nears, refusals, sizes) for f in fields]
    hexes = hex_of_names(labs, palette.conditions)
    shown, _shown_truly = Colours(np.array([c.lab for c in own]), palette.conditions).on_screen()
    return Asking(
        sizes=sizes,
        cells=packed[0],
        names=tuple(
            (name, h, int(p), int(t)) for (name, _c), h, p, t in zip(named, hexes, packed[1], typical, strict=True)
        ),
        sentences=_every_sentence()
        | {
            "wears": [_wear_line(own, key) for key in wears],
            "nears": [_near_line(own, shown, key) for key in nears],
            "wishes": [refused_words(wishes, key) for key in refusals],
        },
        also=other_words() if _in_english() else {},
    )


def _sizes(wears: int, nears: int, refusals: int) -> tuple[tuple[str, int], ...]:
    """Return how many values each part of a packed answer may have, in the order in which they are packed."""
    return (
        ("answer", len(ROLES) + _MASKS),
        ("confidence", len(_SURE_FROM) + 1),
        ("held", len(HOLDING_RULES)),
        *((str(axis), 1 + 4 * len(_OFF_SIZES)) for axis in Axis),
        ("wear", wears),
        ("near", nears),
        ("wish", refusals),
    )


def _every_sentence() -> dict[str, object]:
    """Return the sentences that are the same for every client."""
    return {
        "axes": [str(axis) for axis in Axis],
        "answers": _answers(),
        "why": {"screen": _why(KnownBy.READING), "name": _why(KnownBy.NAME)},
        "offs": _offs(),
        "joint": in_a_row(("", "")),
        "off": _(OFF_LINE),
        "helds": [held_words(hold) if hold else "" for hold in HOLDING_RULES],
        "said": [len(off_axes(hold)) for hold in HOLDING_RULES],
        "asked": _("{name}:"),
        "typical": _(TYPICAL),
        "unknown": _(UNKNOWN),
        "alike": _(ALIKE),
        "otherwise": _(OTHERWISE),
        "confidences": {"screen": _confidences(_BY_SCREEN), "name": _confidences(SURE_BY[KnownBy.NAME])},
    }


def _named(palette: PersonalPalette) -> list[tuple[str, GarmentColour]]:
    """Return every name that the page knows with its colour, those of the palette and of shops first.

    The names are in the language of the page. Those of books are English, and on an English page alone.
    """
    own = [c.name.lower() for c in (*palette.colours, *palette.borrowed)]
    titles = [c.title.lower() for c in palette.colours if c.title]
    said = {name: terms.in_line(name) for name in (*own, *STAPLES, *known_names())}
    said |= {title: terms.title(title) for title in titles} | {name: terms.hue(name) for name in FAMILIES}
    every = [(said[name], name) for name in sorted(said, key=lambda name: said[name])]
    every += [(name, name) for name in book_words() if _in_english()]
    return [(shown, named_garment(name, palette).colours[0]) for shown, name in every]


def _in_english() -> bool:
    return language().primary == SOURCE


# -- fields ------------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, eq=False)
class _Fields:
    """Of n colours, the values of every field.

    answer, confidence, held (n,); off (n, 3), wear (n, 4), near (n, 2); wish (n, w), whether each wish refuses it.
    """

    answer: IntArray
    confidence: IntArray
    held: IntArray
    off: IntArray
    wear: IntArray
    near: IntArray
    wish: IntArray

    @classmethod
    def of(cls, asked: AskedColours, wish: IntArray, whites: BoolArray) -> "_Fields":
        told = steady(asked.certainty) >= SURE_OF_ROLE
        answer = np.where(told, asked.step, len(ROLES) + asked.mask())
        far = (asked.apart[:, None] > np.array(_CLOSENESS)).sum(axis=1)
        another = whites[asked.nearest] & (answer != 0)  # as `hardly_differs` has it
        kind = np.where(told, asked.step, len(ROLES))
        near_only = np.where(kind == 0, NO_COLOUR, asked.near)  # near the face nothing goes between
        return cls(
            answer=answer,
            confidence=(steady(asked.chance)[:, None] < np.array(_SURE_FROM)).sum(axis=1),
            held=np.where(told, asked.held, 0),
            off=_off_classes(asked.off, answer == 0),
            wear=np.stack([kind, asked.white, asked.neutral, near_only], axis=1),
            near=np.stack([asked.nearest, np.where(another, np.maximum(far, 1), far)], axis=1),
            wish=wish,
        )


def _off_classes(off: FloatArray, near: BoolArray) -> IntArray:
    """Return the class of each offset (n, 3, 3): 0 right; then by size, by side, and whether it may be none at all.

    near (n,): whether the colour is worn near the face, where no more than a touch is said to be off.
    """
    mean, low, high = steady(off[..., 0]), off[..., 1], off[..., 2]
    size = (np.abs(mean)[..., None] >= np.array(_OFF_SIZES)).sum(axis=-1)
    size = np.where(near[:, None], np.minimum(size, 1), size)
    perhaps = ~((low > 0) | (high < 0))
    return np.where(size == 0, 0, 1 + ((size - 1) * 2 + (mean > 0)) * 2 + perhaps)


def _unique(tables: Sequence[IntArray]) -> list[tuple[int, ...]]:
    rows = np.unique(np.concatenate(tables), axis=0)
    return [tuple(int(v) for v in row) for row in rows]


def _packed(
    fields: _Fields,
    wears: list[tuple[int, ...]],
    nears: list[tuple[int, ...]],
    refusals: list[tuple[int, ...]],
    sizes: Sequence[tuple[str, int]],
) -> IntArray:
    places = [_places(fields.wear, wears), _places(fields.near, nears), _places(fields.wish, refusals)]
    columns = [fields.answer, fields.confidence, fields.held, *fields.off.T, *places]
    total = np.zeros(len(fields.answer), dtype=np.intp)
    for column, (_field, size) in reversed(list(zip(columns, sizes, strict=True))):
        total = total * size + column
    return total


def _places(rows: IntArray, among: list[tuple[int, ...]]) -> IntArray:
    """Return the place of each row (n, k) in a sorted list of such rows."""
    every = np.concatenate([np.array(among, dtype=np.intp), rows])
    found: IntArray = np.unique(every, axis=0, return_inverse=True)[1].reshape(-1)[len(among) :]
    return found


# -- sentences ---------------------------------------------------------------------------------------------------------


def _answers() -> list[str]:
    roles = [garment_words(GarmentCheck(answer, KnownBy.READING)).headline for answer in ROLES]
    cannot = garment_words(GarmentCheck(GarmentAnswer.CANNOT_TELL, KnownBy.READING)).headline
    return [*roles, *[cannot] * _MASKS]


def _why(known_by: KnownBy) -> list[list[str]]:
    """Return what is said where the role cannot be told, by the roles that it lies between."""
    unclear = Unclear.NAME_IS_WIDE if known_by is KnownBy.NAME else Unclear.COLOUR_IS_UNSURE
    told: list[list[str]] = [[] for _ in ROLES]
    for mask in range(_MASKS):
        between = [role for n, role in enumerate(ROLES) if mask >> n & 1]
        shares = {role: (SURE_OF_ROLE / len(between) if role in between else 0.0) for role in ROLES} if between else {}
        check = GarmentCheck(GarmentAnswer.CANNOT_TELL, known_by, "{name}", roles=shares, unclear=unclear)
        lines = list(garment_words(check).lines) if between else []
        if lines and known_by is KnownBy.NAME:
            lines[-1] = _(HOLD_BESIDE_IT)  # a shop has no instrument
        told.append(lines)
    return told


def _offs() -> list[list[str]]:
    """Return the words of every class of offset, an axis a row."""
    samples = [Offset(0.0, -1.0, 1.0)]
    for size in _SAMPLE_OFF[1:]:
        for side in (-1, 1):
            surely, perhaps = (side * size, 0.1 * side), (side * size, -0.1 * side)
            samples += [Offset(mean, min(mean, end), max(mean, end)) for mean, end in (surely, perhaps)]
    return [[off_on(axis, sample) for sample in samples] for axis in Axis]


def _wear_line(own: Sequence[PaletteColour], key: Sequence[int]) -> str:
    """Return what to wear a colour with, or between it and the face."""
    kind, *partners = key
    white, neutral, near = (None if p == NO_COLOUR else own[p] for p in partners)
    answer = GarmentAnswer.CANNOT_TELL if kind == len(ROLES) else ROLES[kind]
    between = tuple(c for c in (white, neutral, near) if c) if answer is not GarmentAnswer.NEAR_FACE else ()
    goes_with = tuple(c for c in (neutral, white) if c) if answer is GarmentAnswer.NEAR_FACE else ()
    return " ".join(garment_words(GarmentCheck(answer, KnownBy.READING, between=between, goes_with=goes_with)).lines)


def _near_line(own: Sequence[PaletteColour], hexes: Sequence[str], key: Sequence[int]) -> tuple[str, str]:
    """Return what is said of the palette's nearest colour, and its hex."""
    nearest, far = key
    apart = (*_CLOSENESS, 2 * CLOSE)[far]
    seen = own[nearest] if far == 0 and own[nearest].basis is Basis.SEEN else None
    answer = GarmentAnswer.NEAR_FACE if far == 0 else GarmentAnswer.SMALL
    check = GarmentCheck(answer, KnownBy.READING, nearest=NearestColour(own[nearest], apart), seen=seen)
    return " ".join(garment_words(check).lines), hexes[nearest]


def _confidences(by: str) -> list[str]:
    return [confidence_words(level, by) for level in _LEVELS]
