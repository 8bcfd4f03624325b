"""What one answer says, in words for the client: for which end of an axis it speaks, where, and what was seen there."""

from collections.abc import Sequence

import numpy as np

from tenter.arrays import FloatArray, steady
from tenter.consultation.axes import Axis
from tenter.consultation.laid_out.bench import Bench
from tenter.consultation.reading.evidence import differing_cloths
from tenter.consultation.record.judgements import Judgement, PairJudgement
from tenter.consultation.words.face_places import plain_region
from tenter.consultation.words.flags import Sign
from tenter.consultation.words.traits import LeadingTrait, trait_word
from tenter.language import N_, _
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
# What a sign says of colours that were held, and of a place on the face.
_DID = {
    Sign.EVEN: N_("evened your {place}"),
    Sign.CLEAR: N_("cleared your {place}"),
    Sign.HEALTHY: N_("freshened your {place}"),
    Sign.LIVELY: N_("enlivened your {place}"),
    Sign.BLENDS: N_("blended with your {place}"),
    Sign.OWN_TINT: N_("gave your {place} a tint that looked like your own"),
    Sign.MORE_COLOUR: N_("gave your {place} more colour"),
    Sign.FACE_FIRST: N_("put your {place} first"),
    Sign.BLOTCHY: N_("made your {place} look uneven"),
    Sign.SHADOWED: N_("shadowed your {place}"),
    Sign.SALLOW: N_("laid a yellow cast on your {place}"),
    Sign.DRAINED: N_("took light from your {place}"),
    Sign.STANDS_APART: N_("stood apart from your {place}"),
    Sign.APPLIED_TINT: N_("laid a tint on your {place} that looked put on"),
    Sign.LESS_COLOUR: N_("took colour from your {place}"),
    Sign.CLOTH_FIRST: N_("were noticed before your {place}"),
}


def did_words(sign: Sign, place: str) -> str:
    """Return what a sign says that colours did at a place, such as 'evened your cheeks'."""
    return _(_DID[sign], place=terms.place(place))


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
