"""What one answer says, in words for the client: for which end of an axis it speaks, where, and what was seen there."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from tenter.arrays import FloatArray, steady
from tenter.consultation.axes import Axis
from tenter.consultation.laid_out.bench import Bench
from tenter.consultation.reading.evidence import differing_cloths
from tenter.consultation.record.judgements import Judgement, PairJudgement
from tenter.consultation.words.face_places import plain_region
from tenter.consultation.words.flags import Sign
from tenter.consultation.words.traits import LeadingTrait, trait_word
from tenter.language import ngettext_lazy
from tenter.report.words import terms

_LEAST_STEP = 0.5  # bench units between two cloths from which one of them is called the warmer, lighter or brighter
FACE, WHOLE_FACE = "face", "whole face"
_PLACES = {
    "": FACE,
    "whole": WHOLE_FACE,
    "whole face": WHOLE_FACE,
    "cheek": "cheeks",
    "eye": "eyes",
    "eye white": "eyes",
    "under eye": "under-eye area",
    "teeth": "smile",
    "contrast": "hair and skin together",
    "lip": "lips",
}
# The signs that speak for the cloth over which they were seen; each of the others speaks against it.
_IN_FAVOUR = (
    Sign.EVEN,
    Sign.CLEAR,
    Sign.HEALTHY,
    Sign.LIVELY,
    Sign.BLENDS,
    Sign.OWN_TINT,
    Sign.MORE_COLOUR,
    Sign.FACE_FIRST,
)

# What a sign says of one colour that was held, or of several, and of a place on the face.
_DID = {
    Sign.EVEN: ngettext_lazy("evened your {place}", "evened your {place}", 2),
    Sign.CLEAR: ngettext_lazy("cleared your {place}", "cleared your {place}", 2),
    Sign.HEALTHY: ngettext_lazy("freshened your {place}", "freshened your {place}", 2),
    Sign.LIVELY: ngettext_lazy("enlivened your {place}", "enlivened your {place}", 2),
    Sign.BLENDS: ngettext_lazy("blended with your {place}", "blended with your {place}", 2),
    Sign.OWN_TINT: ngettext_lazy(
        "gave your {place} a tint that looked like your own", "gave your {place} a tint that looked like your own", 2
    ),
    Sign.MORE_COLOUR: ngettext_lazy("gave your {place} more colour", "gave your {place} more colour", 2),
    Sign.FACE_FIRST: ngettext_lazy("put your {place} first", "put your {place} first", 2),
    Sign.BLOTCHY: ngettext_lazy("made your {place} look uneven", "made your {place} look uneven", 2),
    Sign.SHADOWED: ngettext_lazy("shadowed your {place}", "shadowed your {place}", 2),
    Sign.SALLOW: ngettext_lazy("laid a yellow cast on your {place}", "laid a yellow cast on your {place}", 2),
    Sign.DRAINED: ngettext_lazy("took light from your {place}", "took light from your {place}", 2),
    Sign.STANDS_APART: ngettext_lazy("stood apart from your {place}", "stood apart from your {place}", 2),
    Sign.APPLIED_TINT: ngettext_lazy(
        "laid a tint on your {place} that looked put on", "laid a tint on your {place} that looked put on", 2
    ),
    Sign.LESS_COLOUR: ngettext_lazy("took colour from your {place}", "took colour from your {place}", 2),
    Sign.CLOTH_FIRST: ngettext_lazy("was noticed before your {place}", "were noticed before your {place}", 2),
}


def did_words(sign: Sign, place: str, colours: int) -> str:
    """Return what a sign says that so many colours did at a place, such as 'evened your cheeks'."""
    return str(replace(_DID[sign], values=(("place", terms.place(place)),), count=colours))


def is_reason(sign: Sign, won: bool) -> bool:
    """Whether a sign is a reason for the answer: one in favour of the cloth that did more, or against the other one."""
    return (sign in _IN_FAVOUR) is won


def place_words(region: str | None) -> str:
    """Return a place on the face as it follows "your": the analyst's word where it is not one of ours."""
    word = plain_region(region)
    return _PLACES.get(word, word)


def ends_of(bench: Bench, judgement: Judgement) -> tuple[LeadingTrait, ...]:
    """Return for which ends an answer speaks."""
    flagged = tuple(
        trait_word(f.flag.axis, -f.flag.direction) for f in getattr(judgement, "flags", ()) if f.flag.direction
    )
    if flagged:
        return tuple(dict.fromkeys(flagged))
    return tuple(end for end in (_won_by(bench, judgement),) if end)


def _won_by(bench: Bench, judgement: Judgement) -> LeadingTrait | None:
    """Return the end of the better side of a pair, on the axis in which the two differ most; None where it is small."""
    if not isinstance(judgement, PairJudgement) or judgement.answer.is_equal:
        return None
    left, right = (place_of(bench, cloths) for cloths in differing_cloths(judgement))
    gain = left - right if judgement.winner == judgement.sides[0] else right - left
    axis = max(Axis, key=lambda a: steady(abs(float(gain[a.column]))))
    step = float(gain[axis.column])
    return trait_word(axis, step) if abs(step) >= _LEAST_STEP else None


def place_of(bench: Bench, cloths: Sequence[str]) -> FloatArray:
    """Return the mean place (3,) of cloths in bench units."""
    place: FloatArray = np.mean([bench.coordinates[bench.kit.row(c)] for c in cloths], axis=0)
    return place
