"""Reading one sitting under another method: the judgements stay, the conventions change."""

from dataclasses import dataclass

from tenter.arrays import steady
from tenter.consultation.conventions.method import Method
from tenter.consultation.reading.online import capped, photographs_alone
from tenter.consultation.reading.reading import Reading
from tenter.consultation.words.odds_words import OddsWord, odds_word
from tenter.given import of_kind
from tenter.inference.lattice import cell_membership

_CANNOT_TELL = 0.5  # below this no category of the other method can be named


@dataclass(frozen=True, slots=True)
class Translation:
    """What a sitting comes to under another method.

    `category` is None where none has half of the probability. probabilities: of every category, 0 to 1. `reread` tells
    that the judgements were read again on the other method's axes; otherwise only its categories were laid over the
    same posterior.
    """

    method: str
    category: str | None
    probability: float
    odds_word: OddsWord
    probabilities: dict[str, float]
    reread: bool


def read_under(sitting: Reading, method: Method) -> Translation:
    """Return a sitting read under another method.

    Where both methods lay cloths on the same axes, the posterior is the same and only the categories change. Where a
    reading or the undertone table differs, the raw judgements are read again. Raises `TenterError` for what is no
    method.
    """
    of_kind(Method, method, "the method", "tenter.Method.bundled")
    if _same_axes(sitting.method, method):
        posterior = sitting.posterior()
        membership = cell_membership(posterior.lattice.ideals, method.prototypes, posterior.lattice.widths)
        masses = dict(zip(method.categories, (float(p) for p in posterior.masses(membership)), strict=True))
        return _translation(method, _allowed(sitting, method, masses), reread=False)
    other = Reading(sitting.kit, method, sitting.seed, sitting.face, sitting.styles)
    other.record_all(e.judgement for e in sitting.evidence)
    return _translation(method, _allowed(sitting, method, other.probabilities()), reread=True)


def _allowed(sitting: Reading, method: Method, masses: dict[str, float]) -> dict[str, float]:
    if not photographs_alone(sitting.evidence):
        return masses
    return capped(masses, method.season_of, sitting.face is not None)


def _same_axes(one: Method, other: Method) -> bool:
    return (one.undertone_table, one.depth_scale, one.clarity_scale, one.readings.clarity, one.readings.metal_tint) == (
        other.undertone_table,
        other.depth_scale,
        other.clarity_scale,
        other.readings.clarity,
        other.readings.metal_tint,
    )


def _translation(method: Method, masses: dict[str, float], reread: bool) -> Translation:
    best = max(masses, key=lambda c: steady(masses[c]))
    told = best if masses[best] >= _CANNOT_TELL else None
    return Translation(method.name, told, masses[best], odds_word(masses[best]), masses, reread)
