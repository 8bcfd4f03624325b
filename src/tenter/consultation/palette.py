"""The personal palette: which cloths are the client's, what was seen on them, and what is only predicted.

The roles and limits here are common practice, no source; which sibling colours count is set by the method file.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from tenter.arrays import FloatArray, steady
from tenter.consultation.axes import Axis
from tenter.consultation.contrast import Contrast, contrast_level, wanted_white_lightness
from tenter.consultation.evidence import differing
from tenter.consultation.hue_families import HueFamily
from tenter.consultation.judgements import Answer, DrapeJudgement, FanJudgement, Judgement, PairJudgement
from tenter.consultation.kit import Drape
from tenter.consultation.method import GreyForWarm, SiblingColours
from tenter.consultation.reading import Reading
from tenter.consultation.traits import Side
from tenter.consultation.verdict import Verdict
from tenter.inference.utility import utilities

_NEAR = 1.1  # bench units from the ideal: worn at the face
_TOLERANCE = 1.6  # bench units from the ideal: still the client's, and the limit of what may be borrowed
_NEUTRAL_FAMILIES = (HueFamily.GREY, HueFamily.DARK, HueFamily.BROWN)
_NEUTRAL_SHARE = 0.6  # a colour whose hue decides less than this reads as a neutral
_ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth")
_METAL_SURE = 0.75  # below this, both metals are the client's


class Fit(StrEnum):
    """What a cloth is to a client."""

    BEST = "best"
    YES = "yes, not the best"
    BORROW = "borrow from the neighbour"
    LEAVE = "leave to others"


@dataclass(frozen=True, slots=True)
class PaletteEntry:
    """One cloth in the palette.

    `expected_utility` is the model's prediction, 0 at the ideal; `seen` holds what the sitting showed of it, in words,
    empty when it was never held. `by_hand` tells that its undertone was set by hand.
    """

    drape: Drape
    fit: Fit
    category: str
    expected_utility: float
    distance: float
    seen: tuple[str, ...]

    @property
    def by_hand(self) -> bool:
        """Whether the cloth's undertone overrules its measured colour."""
        return self.drape.undertone is not None


@dataclass(frozen=True, slots=True)
class Palette:
    """Cloths by role, each list best first.

    coats: where no neutral is of the season, the least unsuitable ones, to be worn away from the face; else empty.
    """

    entries: tuple[PaletteEntry, ...]
    neutrals: tuple[PaletteEntry, ...]
    coats: tuple[PaletteEntry, ...]
    whites: tuple[PaletteEntry, ...]
    metals: tuple[PaletteEntry, ...]
    contrast: Contrast | None

    def of_fit(self, fit: Fit) -> tuple[PaletteEntry, ...]:
        """Return the cloths of one fit, best first, without metals and cloths that only serve to compare."""
        wearable = (e for e in self.entries if not (e.drape.is_metal or e.drape.bench_only))
        return tuple(e for e in wearable if e.fit == fit)

    def entry(self, drape_id: str) -> PaletteEntry:
        """Return the entry of one cloth."""
        return next(e for e in self.entries if e.drape.id == drape_id)


def palette(sitting: Reading, verdict: Verdict) -> Palette:
    """Return the palette that follows from a sitting and its verdict."""
    ideal = np.array([verdict.traits[a].mean for a in Axis])
    seen = seen_on_client(sitting)
    expected = _expected_utility(sitting)
    entries = []
    for row, drape in enumerate(sitting.kit.drapes):
        x = sitting.bench.coordinates[row]
        category = sitting.method.category_at(x)
        distance = float(np.linalg.norm(x - ideal))
        fit = _fit(sitting, verdict, category, distance, ideal, x, drape)
        entries.append(PaletteEntry(drape, fit, category, float(expected[row]), distance, seen.get(drape.id, ())))
    entries.sort(key=lambda e: (-steady(e.expected_utility), e.drape.id))
    contrast = contrast_level(sitting.face) if sitting.face else None
    neutrals, coats = _neutrals(sitting, verdict, entries)
    return Palette(
        entries=tuple(entries),
        neutrals=neutrals,
        coats=() if neutrals else coats,
        whites=_whites(sitting, entries, ideal, verdict, contrast),
        metals=_metals(sitting, entries),
        contrast=contrast,
    )


def _expected_utility(sitting: Reading) -> FloatArray:
    posterior = sitting.posterior()
    table = utilities(posterior.lattice.shapes, sitting.bench.coordinates, posterior.lattice.ideals)
    of_shape = posterior.weights.sum(axis=1)
    expected: FloatArray = sum(t @ w for t, w in zip(table, of_shape, strict=True))
    return expected


def _fit(
    sitting: Reading, verdict: Verdict, category: str, distance: float, ideal: FloatArray, x: FloatArray, drape: Drape
) -> Fit:
    method = sitting.method
    in_season = method.season_of[category] == verdict.season
    own = in_season and (method.readings.sibling_colours is SiblingColours.USABLE or category == verdict.category)
    if _poor_grey(sitting, ideal, x, drape):
        return Fit.LEAVE if not own else Fit.YES
    if own:
        return Fit.BEST if distance <= _NEAR else Fit.YES
    neighbours = {verdict.runner_up, verdict.trait_neighbour}
    if (category in neighbours or in_season) and distance <= _TOLERANCE:
        return Fit.BORROW
    return Fit.LEAVE


def _poor_grey(sitting: Reading, ideal: FloatArray, x: FloatArray, drape: Drape) -> bool:
    warm_and_clear = ideal[Axis.UNDERTONE.column] > 0.25 and ideal[Axis.CLARITY.column] > -0.5
    plain = drape.hue_family is HueFamily.GREY and abs(x[Axis.UNDERTONE.column]) < 0.5
    return sitting.method.readings.grey_for_warm is GreyForWarm.POOR and plain and bool(warm_and_clear)


def _neutrals(
    sitting: Reading, verdict: Verdict, entries: Sequence[PaletteEntry]
) -> tuple[tuple[PaletteEntry, ...], tuple[PaletteEntry, ...]]:
    """Return the neutrals of the season, nearest in depth and clarity first, and those of the undertone elsewhere."""
    share = sitting.method.undertone_table.chroma_share(sitting.kit.bench_colours.lab)
    found = [
        e
        for e in entries
        if not (e.drape.is_metal or e.drape.bench_only)
        and (
            e.drape.hue_family in _NEUTRAL_FAMILIES
            or (share[sitting.kit.row(e.drape.id)] < _NEUTRAL_SHARE and e.drape.hue_family is not HueFamily.WHITE)
        )
    ]
    found.sort(key=lambda e: (_apart(sitting, verdict, e, (Axis.DEPTH, Axis.CLARITY)), e.drape.id))
    side = sitting.method.side_of[verdict.season]
    own = tuple(e for e in found if sitting.method.season_of[e.category] == verdict.season)
    same_side = tuple(e for e in found if sitting.method.side_of[sitting.method.season_of[e.category]] is side)
    return own, same_side or tuple(found)


def _apart(sitting: Reading, verdict: Verdict, entry: PaletteEntry, axes: Sequence[Axis]) -> float:
    x = sitting.bench.coordinates[sitting.kit.row(entry.drape.id)]
    return steady(float(np.sqrt(sum((x[a.column] - verdict.traits[a].mean) ** 2 for a in axes))))


def _whites(
    sitting: Reading, entries: Sequence[PaletteEntry], ideal: FloatArray, verdict: Verdict, contrast: Contrast | None
) -> tuple[PaletteEntry, ...]:
    """Whites by undertone and by the lightness step that the face's contrast, or else the clarity, carries.

    A prediction: what the sitting showed of each white stands beside it in `seen`.
    """
    wanted = wanted_white_lightness(contrast, verdict.traits[Axis.CLARITY].mean)
    lab = sitting.kit.bench_colours.lab

    def score(entry: PaletteEntry) -> tuple[float, str]:
        row = sitting.kit.row(entry.drape.id)
        tint = abs(sitting.bench.coordinates[row, Axis.UNDERTONE.column] - ideal[Axis.UNDERTONE.column])
        return steady(float(tint + abs(lab[row, 0] - wanted) / 2)), entry.drape.id

    return tuple(sorted((e for e in entries if e.drape.hue_family is HueFamily.WHITE), key=score))


def _metals(sitting: Reading, entries: Sequence[PaletteEntry]) -> tuple[PaletteEntry, ...]:
    warm = float(sitting.posterior().masses(sitting.focus.frame.sides)[list(Side).index(Side.WARM)])
    metals = [e for e in entries if e.drape.is_metal]
    if max(warm, 1 - warm) >= _METAL_SURE:
        metals = [e for e in metals if ((e.drape.undertone or 0.0) > 0) == (warm > 0.5)]
    return tuple(sorted(metals, key=lambda e: (-steady(e.expected_utility), e.drape.id)))


def seen_on_client(sitting: Reading) -> Mapping[str, tuple[str, ...]]:
    """Return what the standing entries showed of each cloth, in words."""
    seen: dict[str, list[str]] = {}
    for entry in sitting.evidence:
        for cloth, words in _shown(sitting, entry.judgement):
            seen.setdefault(cloth, []).append(words)
    return {cloth: tuple(dict.fromkeys(words)) for cloth, words in seen.items()}


def _shown(sitting: Reading, judgement: Judgement) -> list[tuple[str, str]]:
    flags = [(f.drape, f.flag.replace("-", " ")) for f in judgement.flags]
    if isinstance(judgement, PairJudgement):
        return _shown_of_pair(sitting, judgement) + flags
    if isinstance(judgement, FanJudgement):
        return _shown_of_fan(judgement) + flags
    if isinstance(judgement, DrapeJudgement):
        return [(c, judgement.suits.value) for c in judgement.cloths] + flags
    return flags


def _shown_of_fan(judgement: FanJudgement) -> list[tuple[str, str]]:
    """Return the place of each step: behind two that are level for the first comes the third."""
    told, before = [], 0
    for rank in judgement.ranks:
        place = "best" if before == 0 else _ORDINALS[before] if before < len(_ORDINALS) else f"{before + 1}th"
        level = " with another" if len(rank) == 2 else f" with {len(rank) - 1} others" if len(rank) > 2 else ""
        told += [(cloth, f"{place}{level} of {len(judgement.steps)}") for step in rank for cloth in step]
        before += len(rank)
    return told


def _shown_of_pair(sitting: Reading, judgement: PairJudgement) -> list[tuple[str, str]]:
    left, right = judgement.sides
    differ = dict(zip((left, right), differing(judgement), strict=True))
    names = {side: " with ".join(sitting.kit[c].name for c in side) for side in (left, right)}
    if judgement.answer.is_equal:
        words = {
            Answer.NOTHING_SEEN: "no difference from {}",
            Answer.BOTH_GOOD: "good, like {}",
            Answer.BOTH_WRONG: "wrong, like {}",
        }[judgement.answer]
        told = {left: words.format(names[right]), right: words.format(names[left])}
    else:
        winner = judgement.winner
        loser = right if winner == left else left
        told = {winner or left: f"better than {names[loser]}", loser: f"not as good as {names[winner or left]}"}
    return [(cloth, told[side]) for side in (left, right) for cloth in differ[side]]
