"""The personal palette: which cloths are the client's, what was seen on them, and what is only predicted.

The roles and limits here are common practice, no source; which sibling colours count is set by the method file. Where a
cloth lies says what it would be, and what was seen of it moves it by one role (`wear_role.py`).
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from tenter.arrays import FloatArray, steady
from tenter.consultation.axes import Axis
from tenter.consultation.client.contrast import Contrast, contrast_level
from tenter.consultation.cloths.hue_families import HueFamily
from tenter.consultation.cloths.kit import Drape
from tenter.consultation.conventions.method import Method, Use
from tenter.consultation.conventions.method_parts import GreyForWarm
from tenter.consultation.findings.verdict import Verdict
from tenter.consultation.palette.hue_answers import HueAnswer, hue_answers
from tenter.consultation.palette.metals import metals
from tenter.consultation.palette.palette_parts import Fit, PaletteClient, PaletteEntry
from tenter.consultation.palette.seen import NOTHING_SEEN_OF_IT, seen_on_client
from tenter.consultation.palette.wear_role import ClothStanding, Moved, Role, cloth_off_words, moved, only_depth_was_off
from tenter.consultation.palette.whites import whites
from tenter.consultation.reading.reading import Reading
from tenter.consultation.record.history import Entry
from tenter.consultation.record.no_evidence import Showing
from tenter.consultation.words.answers import Worth

_NEAR = 1.1  # bench units from the ideal: worn at the face
TOLERANCE = 1.6  # bench units from the ideal: still the client's, and the limit of what may be borrowed
ROLE_BORDERS = (_NEAR, TOLERANCE)  # where a little more or less changes how near to the face a cloth is worn
_NEUTRAL_FAMILIES = (HueFamily.GREY, HueFamily.DARK, HueFamily.BROWN)
_NEUTRAL_SHARE = 0.6  # a colour whose hue decides less than this reads as a neutral
PLAIN = 0.5  # bench units of undertone below which a grey or a black is neither warm nor cool
_COATS = 2  # neutrals named for coats and trousers where none is of the season
_ROLES = {Fit.BEST: Role.NEAR_FACE, Fit.YES: Role.AWAY, Fit.BORROW: Role.SMALL, Fit.LEAVE: Role.LEAVE}


@dataclass(frozen=True, slots=True)
class Palette:
    """Cloths by role, each list best first.

    coats: where no neutral is of the season, the least unsuitable ones, to be worn away from the face; else empty.
    plain: blacks and plain greys that are not of the season, and may be worn away from the face all the same.
    whites: what was seen comes first; predicted_white: the first of them had nothing been seen.
    """

    entries: tuple[PaletteEntry, ...]
    neutrals: tuple[PaletteEntry, ...]
    coats: tuple[PaletteEntry, ...]
    plain: tuple[PaletteEntry, ...]
    whites: tuple[PaletteEntry, ...]
    predicted_white: PaletteEntry | None
    metals: tuple[PaletteEntry, ...]
    hues: tuple[HueAnswer, ...]
    contrast: Contrast | None

    def of_fit(self, fit: Fit) -> tuple[PaletteEntry, ...]:
        """Return the cloths of one fit, best first, without metals and cloths that only serve to compare."""
        wearable = (e for e in self.entries if not (e.drape.is_metal or e.drape.bench_only))
        return tuple(e for e in wearable if e.fit == fit)

    def entry(self, drape_id: str) -> PaletteEntry:
        """Return the entry of one cloth."""
        return next(e for e in self.entries if e.drape.id == drape_id)


def palette(sitting: Reading, verdict: Verdict, *, shown: bool = True) -> Palette:
    """Return the palette that follows from a sitting and its verdict.

    shown: whether what was shown after the verdict counts as seen on the client. The roles are common practice, no
    source; the distances that part them are ours.
    """
    ideal = np.array([verdict.traits[a].mean for a in Axis])
    client = PaletteClient(sitting, verdict, ideal, sitting.method.coordinates(sitting.kit, Use.WEAR))
    spoken = [e for e in sitting.entries if shown or not isinstance(e.judgement, Showing)]
    entries = _worn(client, _lying(client), spoken)
    contrast = contrast_level(sitting.face) if sitting.face else None
    found_whites, predicted_white = whites(client, entries, contrast)
    neutrals, others = _neutrals(client, entries)
    coats = () if neutrals else tuple(_coat(e) for e in others if _may_be_coat(e))[:_COATS]
    plain = _plain(client, [e for e in entries if e.drape.id not in {c.drape.id for c in coats}])
    away = {e.drape.id: e for e in (*coats, *plain)}
    entries = [away.get(e.drape.id, e) for e in entries]
    return Palette(
        entries=tuple(entries),
        neutrals=neutrals,
        coats=coats,
        plain=plain,
        whites=found_whites,
        predicted_white=predicted_white,
        metals=metals(client, entries),
        hues=hue_answers(client, entries),
        contrast=contrast,
    )


def _lying(client: PaletteClient) -> list[PaletteEntry]:
    """Return every cloth as it would be worn had nothing been seen of it, best first."""
    sitting, method = client.sitting, client.method
    expected = _expected_utility(client)
    share = method.undertone_table.chroma_share(sitting.kit.bench_colours.lab)
    entries = []
    for row, drape in enumerate(sitting.kit.drapes):
        category = method.category_at(client.places[row])
        distance = float(np.linalg.norm(client.places[row] - client.ideal))
        fit = _fit(client, category, distance, drape)
        role, neutral = _ROLES[fit], _is_neutral(drape, float(share[row]))
        entries.append(PaletteEntry(drape, fit, role, role, category, float(expected[row]), distance, neutral))
    return sorted(entries, key=lambda e: (-steady(e.expected_utility), e.drape.id))


def _worn(client: PaletteClient, lying: Sequence[PaletteEntry], entries: Sequence[Entry]) -> list[PaletteEntry]:
    """Return every cloth as it is worn after what was seen of it."""
    sitting, season_of = client.sitting, client.method.season_of
    seen = seen_on_client(entries, sitting.kit, sitting.method.flags)
    standings = {
        e.drape.id: ClothStanding(e.drape.name, e.lies, season_of[e.category], client.own(e.category), e.neutral)
        for e in lying
    }
    worn = moved(standings, seen)
    return [
        replace(
            e,
            fit=_fit_in(worn[e.drape.id], standings[e.drape.id].own),
            role=worn[e.drape.id].role,
            found=seen.get(e.drape.id, NOTHING_SEEN_OF_IT),
            why_moved=worn[e.drape.id].why,
        )
        for e in lying
    ]


def _fit_in(worn: Moved, own: bool) -> Fit:
    if own and worn.role is not Role.LEAVE:
        return Fit.BEST if worn.role is Role.NEAR_FACE else Fit.YES
    return Fit.LEAVE if worn.role is Role.LEAVE else Fit.BORROW


def _expected_utility(client: PaletteClient) -> FloatArray:
    posterior = client.sitting.posterior()
    of_shape = posterior.weights.sum(axis=1)
    expected = np.zeros(len(client.places))
    for shape, weights in zip(posterior.lattice.shapes, of_shape, strict=True):  # one at a time: a table is large
        expected += shape.utility(client.places, posterior.lattice.ideals) @ weights
    return expected


def _fit(client: PaletteClient, category: str, distance: float, drape: Drape) -> Fit:
    own = client.own(category)
    if _poor_grey(client, drape):
        return Fit.LEAVE if not own else Fit.YES
    if own:
        return Fit.BEST if distance <= _NEAR else Fit.YES
    neighbours = {client.verdict.runner_up, client.verdict.trait_neighbour}
    if (category in neighbours or client.in_season(category)) and distance <= TOLERANCE:
        return Fit.BORROW
    return Fit.LEAVE


def _poor_grey(client: PaletteClient, drape: Drape) -> bool:
    plain = drape.hue_family is HueFamily.GREY and abs(client.undertone(drape)) < PLAIN
    return plain and plain_grey_is_poor(client.method, client.ideal)


def plain_grey_is_poor(method: Method, ideal: FloatArray) -> bool:
    """Tell whether the method calls a plain mid grey poor for a client: one who is warm and clear.

    ideal (3,): of the client, in bench units. Disputed in the trade.
    """
    warm_and_clear = ideal[Axis.UNDERTONE.column] > 0.25 and ideal[Axis.CLARITY.column] > -0.5
    return method.readings.grey_for_warm is GreyForWarm.POOR and bool(warm_and_clear)


def _is_neutral(drape: Drape, chroma_share: float) -> bool:
    if drape.is_metal or drape.bench_only:
        return False
    quiet = chroma_share < _NEUTRAL_SHARE and drape.hue_family is not HueFamily.WHITE
    return drape.hue_family in _NEUTRAL_FAMILIES or quiet


def _neutrals(
    client: PaletteClient, entries: Sequence[PaletteEntry]
) -> tuple[tuple[PaletteEntry, ...], tuple[PaletteEntry, ...]]:
    """Return the neutrals of the season, nearest in depth and clarity first, and those of the undertone elsewhere.

    Of a client between two seasons, those of both.

    One that did less than a neutral should is worn in small areas, and is neither.
    """
    worn = (e for e in entries if e.found.shown is not Worth.NO)
    found = sorted(
        (e for e in worn if e.neutral and not e.in_small_areas), key=lambda e: (_apart(client, e), e.drape.id)
    )
    method = client.method
    seasons = client.seasons
    sides = {method.side_of[season] for season in seasons}
    own = tuple(e for e in found if method.season_of[e.category] in seasons)
    same_side = tuple(e for e in found if method.side_of[method.season_of[e.category]] in sides)
    return own, same_side or tuple(found)


def _apart(client: PaletteClient, entry: PaletteEntry) -> float:
    columns = [Axis.DEPTH.column, Axis.CLARITY.column]
    return steady(float(np.linalg.norm((client.place(entry.drape) - client.ideal)[columns])))


def _plain(client: PaletteClient, entries: Sequence[PaletteEntry]) -> tuple[PaletteEntry, ...]:
    """Return blacks and plain greys of no use near the face, to be worn away from it, but none that was off."""
    found = (
        e
        for e in entries
        if e.neutral and e.role is Role.LEAVE and e.drape.hue_family in (HueFamily.GREY, HueFamily.DARK)
        if abs(client.undertone(e.drape)) < PLAIN and not e.found.off
    )
    return tuple(replace(e, role=Role.AWAY) for e in found)


def _may_be_coat(entry: PaletteEntry) -> bool:
    return not entry.found.off or only_depth_was_off(entry.found)


def _coat(entry: PaletteEntry) -> PaletteEntry:
    """Return a neutral of another season as the least unsuitable for coats and trousers."""
    if only_depth_was_off(entry.found):
        return replace(entry, role=Role.BELOW_WAIST, why_moved=cloth_off_words(entry.found))
    return replace(entry, role=Role.AWAY, why_moved=None)
