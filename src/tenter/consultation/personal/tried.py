"""What was tried on the client, as colours of a palette: cloths that did well come first, those that did not keep away.

Common practice, no source: what was seen overrules what is predicted.
"""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from tenter.arrays import FloatArray, steady
from tenter.consultation.cloths.kit import Drape
from tenter.consultation.conventions.method import Use
from tenter.consultation.palette.palette import Palette
from tenter.consultation.palette.palette_parts import Fit, PaletteEntry
from tenter.consultation.palette.seen import SHOWN_WORDS, counted_entries
from tenter.consultation.palette.wear_role import Role
from tenter.consultation.personal.suitability import Known
from tenter.consultation.reading.reading import Reading
from tenter.consultation.record.history import Entry
from tenter.consultation.record.no_evidence import Showing
from tenter.consultation.words.answers import Worth
from tenter.consultation.words.face_places import seen_where

# Suitability from which a cloth that only won a comparison counts as one that did well: tried in simulation.
_WON_FROM = 0.6
_NUMBERS = {2: "two", 3: "three", 4: "four", 5: "five"}
_MANY = "several"
_MORE_THAN_ONE, _ALONE = "did more for you than another colour", "worked on its own"
_AS_MUCH = "did as much for you as another good colour"


def _more_than(number: str) -> str:
    return f"did more for you than {number} other colours"


# Everything that is said of a cloth that was held, apart from where it was seen.
TRIED_WORDS = (_MORE_THAN_ONE, *map(_more_than, (*_NUMBERS.values(), _MANY)), _ALONE, _AS_MUCH)


@dataclass(frozen=True, eq=False)
class Tried:
    """The cloths that did well, best first: colours (n, 3), D65/10°, and what was seen; and colours that did not.

    near: whether each is worn near the face. off (m, 3): colours of cloths that were seen not to suit. held (k, 3):
    colours of every cloth of which something was seen, and held_roles where each is worn after that.
    """

    drapes: tuple[Drape, ...]
    lab: FloatArray
    answers: tuple[str, ...]
    near: tuple[bool, ...]
    borrowed: tuple[bool, ...]
    off: FloatArray
    held: FloatArray
    held_roles: tuple[Role, ...]


def tried(sitting: Reading, worn: Palette, known: Known) -> Tried:
    """Return what the cloths on record showed: those of the client that did well, and those that were off."""
    lab = sitting.kit.bench_colours.lab
    places = sitting.method.coordinates(sitting.kit, Use.WEAR)
    expected = steady(known.suitability(places))
    good = [e for e in worn.entries if _did_well(e, float(expected[sitting.kit.row(e.drape.id)]))]
    off = [e.drape.id for e in worn.entries if e.found.off and e.drape.measured and not e.drape.is_metal]
    held = [e for e in worn.entries if e.drape.measured and not e.drape.is_metal and _shows(e)]
    numbers = {e.number for e in counted_entries(sitting.entries)}
    showings = (e for e in sitting.entries if e.stands and isinstance(e.judgement, Showing))
    entries = [*(e for e in sitting.entries if e.number in numbers), *showings]
    return Tried(
        drapes=tuple(e.drape for e in good),
        lab=lab[[sitting.kit.row(e.drape.id) for e in good]].reshape(-1, 3),
        answers=tuple(_answer(e, entries) for e in good),
        near=tuple(e.role is Role.NEAR_FACE for e in good),
        borrowed=tuple(e.fit is Fit.BORROW for e in good),
        off=lab[[sitting.kit.row(i) for i in off]].reshape(-1, 3),
        held=lab[[sitting.kit.row(e.drape.id) for e in held]].reshape(-1, 3),
        held_roles=tuple(e.role for e in held),
    )


def nothing_tried() -> Tried:
    """Return that nothing was tried, as a fixed card has it."""
    none = np.zeros((0, 3))
    return Tried((), none, (), (), (), none, none, ())


def _did_well(entry: PaletteEntry, expected: float) -> bool:
    drape, found = entry.drape, entry.found
    if drape.is_metal or drape.bench_only or not drape.measured:
        return False
    if found.shown is not None:
        return found.shown is not Worth.NO
    if found.off or entry.lowered or entry.fit is Fit.LEAVE:
        return False
    if found.level_with or found.worked_alone:
        return True
    # That it did more than another says little where the other was worse: then the prediction has to agree.
    return bool(found.won_over) and expected >= _WON_FROM


def _shows(entry: PaletteEntry) -> bool:
    return entry.found.off or bool(entry.found.won_over or entry.found.level_with or entry.found.shown or entry.moved)


def _answer(entry: PaletteEntry, entries: Iterable[Entry]) -> str:
    """Return what was seen of a cloth in words for the client, with the place on the face where it was seen."""
    found = entry.found
    if found.shown is not None:
        said = SHOWN_WORDS[found.shown]
    elif found.won_over:
        number = len(found.won_over)
        said = _more_than(_NUMBERS.get(number, _MANY)) if number > 1 else _MORE_THAN_ONE
    elif found.worked_alone:
        said = _ALONE
    else:
        said = _AS_MUCH
    regions = (e.judgement.region or "" for e in entries if entry.drape.id in e.judgement.cloths)
    return f"{said}{seen_where(regions)}"
