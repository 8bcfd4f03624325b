"""Whether what was found is the classic card, or a print or another make that only looks like it.

A copy has the card's colours to the eye, but other dyes. A camera sees it otherwise, and skin is read wrong by it. The
mean error alone does not tell: genuine cards under fluorescent light miss by as much as copies in daylight. The pattern
does, as `evidence.py` weighs it. No real copy was used to make the invented ones that it knows.
"""

from tenter.language import _
from tenter.photo.card.calibration import Calibration
from tenter.photo.card.evidence import CardEvidence
from tenter.photo.reasons import Code, Reason

# Both must be passed: log odds of a copy, and the mean ΔE00 of patches left out. Phones that process strongly give some
# genuine cards odds of 41, but then their patches agree to 2.9; genuine cards that agree worse mostly have low odds.
# Set on 176 rendered photographs each of cards and prints (card_copies.py, seeds 71 and 5) and ten real cards.
_LOG_ODDS, _LEFT_OUT = 20.0, 3.6


def copy_reasons(calibration: Calibration, evidence: CardEvidence | None) -> list[Reason]:
    """Return a refusal where a card's patches are rather those of a copy."""
    if evidence is None or evidence.log_odds_of_copy < _LOG_ODDS or calibration.leave_one_out.mean < _LEFT_OUT:
        return []
    return [
        Reason(
            Code.CARD_OTHER,
            _(
                "The colours of this card are not those of an original 24-patch card. It may be a print or a copy, "
                "which looks the same to the eye but not to the camera. It may be faded or partly covered, or the "
                "camera app may have recoloured the picture. Colours would be read wrong by it. Use an original card "
                "with nothing on it, and no effects in the camera app. If it is a card that Tenter printed, choose our "
                "own printed card."
            ),
        )
    ]
