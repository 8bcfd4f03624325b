"""The personal palette: which cloths are the client's, what was seen on them, and what is only predicted.

The roles and limits here are common practice, no source; which sibling colours count is set by the method file. Where a
cloth lies says what it would be, and what was seen of it moves it by one role (`wear_role.py`).
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np

from tenter.arrays import FloatArray, steady
from tenter.consultation.axes import Axis
from tenter.consultation.contrast import Contrast, contrast_level, wanted_white_lightness
from tenter.consultation.hue_families import HueFamily
from tenter.consultation.kit import Drape
from tenter.consultation.method import GreyForWarm, SiblingColours
from tenter.consultation.reading import Reading
from tenter.consultation.seen import NOTHING_SEEN_OF_IT, ClothFindings, seen_on_client
from tenter.consultation.traits import Side
from tenter.consultation.verdict import Verdict
from tenter.consultation.wear_role import Moved, Role, Standing, moved, off_words, only_depth_was_off
from tenter.inference.utility import utilities

_NEAR = 1.1  # bench units from the ideal: worn at the face
_TOLERANCE = 1.6  # bench units from the ideal: still the client's, and the limit of what may be borrowed
_NEUTRAL_FAMILIES = (HueFamily.GREY, HueFamily.DARK, HueFamily.BROWN)
_NEUTRAL_SHARE = 0.6  # a colour whose hue decides less than this reads as a neutral
_METAL_SURE = 0.75  # below this, both metals are the client's
_COATS = 2  # neutrals named for coats and trousers where none is of the season


class Fit(StrEnum):
    """What a cloth is to a client."""

    BEST = "best"
    YES = "yes, not the best"
    BORROW = "borrow from the neighbour"
    LEAVE = "leave to others"


_ROLES = {Fit.BEST: Role.NEAR_FACE, Fit.YES: Role.AWAY, Fit.BORROW: Role.SMALL, Fit.LEAVE: Role.LEAVE}


@dataclass(frozen=True, slots=True)
class PaletteEntry:
    """One cloth in the palette.

    `expected_utility` is the model's prediction, 0 at the ideal. `found` holds what the sitting showed of the cloth;
    `role` says where it is worn, `lies` where it would be had nothing been seen of it, `moved` why the two differ.
    """

    drape: Drape
    fit: Fit
    role: Role
    lies: Role
    category: str
    expected_utility: float
    distance: float
    neutral: bool
    found: ClothFindings = NOTHING_SEEN_OF_IT
    moved: str = ""

    @property
    def seen(self) -> tuple[str, ...]:
        """What the sitting showed of it, in words, in the order it came; empty when it was never held."""
        return self.found.words

    @property
    def lowered(self) -> bool:
        """Whether what was seen moved it away from the face."""
        return self.role.step > self.lies.step

    @property
    def in_small_areas(self) -> bool:
        """Whether it is of the season, and what was seen of it leaves it small areas alone."""
        return self.fit is Fit.YES and self.role is Role.SMALL

    @property
    def for_cover(self) -> bool:
        """Whether nothing that was seen at any time speaks against wearing it first."""
        return not (self.lowered or self.found.ever_off)

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


@dataclass(frozen=True, slots=True, eq=False)
class _Client:
    """For whom the palette is: the ideal (3,), and the place of each cloth of the kit beside it (n, 3)."""

    sitting: Reading
    verdict: Verdict
    ideal: FloatArray
    places: FloatArray

    def in_season(self, category: str) -> bool:
        return self.sitting.method.season_of[category] == self.verdict.season

    def own(self, category: str) -> bool:
        usable = self.sitting.method.readings.sibling_colours is SiblingColours.USABLE
        return self.in_season(category) and (usable or category == self.verdict.category)

    def place(self, drape: Drape) -> FloatArray:
        place: FloatArray = self.places[self.sitting.kit.row(drape.id)]
        return place


def palette(sitting: Reading, verdict: Verdict) -> Palette:
    """Return the palette that follows from a sitting and its verdict."""
    ideal = np.array([verdict.traits[a].mean for a in Axis])
    client = _Client(sitting, verdict, ideal, sitting.bench.coordinates)
    entries = _worn(client, _lying(client))
    contrast = contrast_level(sitting.face) if sitting.face else None
    neutrals, others = _neutrals(client, entries)
    coats = () if neutrals else tuple(_coat(e) for e in others if _may_be_coat(e))[:_COATS]
    as_coat = {e.drape.id: e for e in coats}
    return Palette(
        entries=tuple(as_coat.get(e.drape.id, e) for e in entries),
        neutrals=neutrals,
        coats=coats,
        whites=_whites(client, entries, contrast),
        metals=_metals(sitting, entries),
        contrast=contrast,
    )


def _lying(client: _Client) -> list[PaletteEntry]:
    """Return every cloth as it would be worn had nothing been seen of it, best first."""
    sitting, method = client.sitting, client.sitting.method
    expected = _expected_utility(sitting)
    share = method.undertone_table.chroma_share(sitting.kit.bench_colours.lab)
    entries = []
    for row, drape in enumerate(sitting.kit.drapes):
        category = method.category_at(client.places[row])
        distance = float(np.linalg.norm(client.places[row] - client.ideal))
        fit = _fit(client, category, distance, drape)
        role, neutral = _ROLES[fit], _is_neutral(drape, float(share[row]))
        entries.append(PaletteEntry(drape, fit, role, role, category, float(expected[row]), distance, neutral))
    return sorted(entries, key=lambda e: (-steady(e.expected_utility), e.drape.id))


def _worn(client: _Client, lying: Sequence[PaletteEntry]) -> list[PaletteEntry]:
    """Return every cloth as it is worn after what was seen of it."""
    sitting, season_of = client.sitting, client.sitting.method.season_of
    seen = seen_on_client(sitting.entries, sitting.kit, sitting.method.flags)
    standings = {
        e.drape.id: Standing(e.drape.name, e.lies, season_of[e.category], client.own(e.category), e.neutral)
        for e in lying
    }
    worn = moved(standings, seen)
    return [
        replace(
            e,
            fit=_fit_in(worn[e.drape.id], standings[e.drape.id].own),
            role=worn[e.drape.id].role,
            found=seen.get(e.drape.id, NOTHING_SEEN_OF_IT),
            moved=worn[e.drape.id].why,
        )
        for e in lying
    ]


def _fit_in(worn: Moved, own: bool) -> Fit:
    if own:
        return Fit.BEST if worn.role is Role.NEAR_FACE else Fit.YES
    return Fit.LEAVE if worn.role is Role.LEAVE else Fit.BORROW


def _expected_utility(sitting: Reading) -> FloatArray:
    posterior = sitting.posterior()
    table = utilities(posterior.lattice.shapes, sitting.bench.coordinates, posterior.lattice.ideals)
    of_shape = posterior.weights.sum(axis=1)
    expected: FloatArray = sum(t @ w for t, w in zip(table, of_shape, strict=True))
    return expected


def _fit(client: _Client, category: str, distance: float, drape: Drape) -> Fit:
    own = client.own(category)
    if _poor_grey(client, drape):
        return Fit.LEAVE if not own else Fit.YES
    if own:
        return Fit.BEST if distance <= _NEAR else Fit.YES
    neighbours = {client.verdict.runner_up, client.verdict.trait_neighbour}
    if (category in neighbours or client.in_season(category)) and distance <= _TOLERANCE:
        return Fit.BORROW
    return Fit.LEAVE


def _poor_grey(client: _Client, drape: Drape) -> bool:
    warm_and_clear = client.ideal[Axis.UNDERTONE.column] > 0.25 and client.ideal[Axis.CLARITY.column] > -0.5
    plain = drape.hue_family is HueFamily.GREY and abs(client.place(drape)[Axis.UNDERTONE.column]) < 0.5
    return client.sitting.method.readings.grey_for_warm is GreyForWarm.POOR and plain and bool(warm_and_clear)


def _is_neutral(drape: Drape, chroma_share: float) -> bool:
    if drape.is_metal or drape.bench_only:
        return False
    quiet = chroma_share < _NEUTRAL_SHARE and drape.hue_family is not HueFamily.WHITE
    return drape.hue_family in _NEUTRAL_FAMILIES or quiet


def _neutrals(
    client: _Client, entries: Sequence[PaletteEntry]
) -> tuple[tuple[PaletteEntry, ...], tuple[PaletteEntry, ...]]:
    """Return the neutrals of the season, nearest in depth and clarity first, and those of the undertone elsewhere.

    One that did less than a neutral should is worn in small areas, and is neither.
    """
    found = sorted(
        (e for e in entries if e.neutral and not e.in_small_areas), key=lambda e: (_apart(client, e), e.drape.id)
    )
    method = client.sitting.method
    side = method.side_of[client.verdict.season]
    own = tuple(e for e in found if client.in_season(e.category))
    same_side = tuple(e for e in found if method.side_of[method.season_of[e.category]] is side)
    return own, same_side or tuple(found)


def _apart(client: _Client, entry: PaletteEntry) -> float:
    columns = [Axis.DEPTH.column, Axis.CLARITY.column]
    return steady(float(np.linalg.norm((client.place(entry.drape) - client.ideal)[columns])))


def _may_be_coat(entry: PaletteEntry) -> bool:
    return not entry.found.off or only_depth_was_off(entry.found)


def _coat(entry: PaletteEntry) -> PaletteEntry:
    """Return a neutral of another season as the least unsuitable for coats and trousers."""
    if only_depth_was_off(entry.found):
        return replace(entry, role=Role.BELOW_WAIST, moved=off_words(entry.found))
    return replace(entry, role=Role.AWAY, moved="")


def _whites(client: _Client, entries: Sequence[PaletteEntry], contrast: Contrast | None) -> tuple[PaletteEntry, ...]:
    """Whites by undertone and by the lightness step that the face's contrast, or else the clarity, carries.

    A prediction: what the sitting showed of each white stands beside it in `seen`.
    """
    wanted = wanted_white_lightness(contrast, client.verdict.traits[Axis.CLARITY].mean)

    def score(entry: PaletteEntry) -> tuple[float, str]:
        tint = abs((client.place(entry.drape) - client.ideal)[Axis.UNDERTONE.column])
        lightness = client.sitting.kit.bench_colours.lab[client.sitting.kit.row(entry.drape.id), 0]
        return steady(float(tint + abs(lightness - wanted) / 2)), entry.drape.id

    return tuple(sorted((e for e in entries if e.drape.hue_family is HueFamily.WHITE), key=score))


def _metals(sitting: Reading, entries: Sequence[PaletteEntry]) -> tuple[PaletteEntry, ...]:
    warm = float(sitting.posterior().masses(sitting.focus.frame.sides)[list(Side).index(Side.WARM)])
    metals = [e for e in entries if e.drape.is_metal]
    if max(warm, 1 - warm) >= _METAL_SURE:
        metals = [e for e in metals if ((e.drape.undertone or 0.0) > 0) == (warm > 0.5)]
    return tuple(sorted(metals, key=lambda e: (-steady(e.expected_utility), e.drape.id)))
