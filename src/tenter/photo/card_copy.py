"""Whether what was found is the classic card, or a print or another make that only looks like it.

A copy has the card's colours to the eye, but other dyes. A camera sees it otherwise, and skin is read wrong by it. The
mean error does not tell: genuine cards under fluorescent light miss by as much as copies in daylight. The pattern does,
as `card_evidence.py` weighs it. No real copy was used to make the invented ones that it knows.
"""

from tenter.photo.calibration import Calibration
from tenter.photo.card_evidence import CardEvidence
from tenter.photo.gate import Code, Reason

# Log odds from which it is a copy; less will do where the patches agree badly as well (mean ΔE00, each left out). Of
# ten clear real photographs of genuine cards the worst have 23 at 3.5 and 20 at 3.0, simulated genuine ones under seven
# lamps 12 at 3.3; the one real print has 89 at 4.4. Of 98 simulated prints, ΔE00 9.6 off on average, 96 are refused.
_COPY, _DOUBTFUL, _ROUGH_LEAVE_ONE_OUT = 35.0, 8.0, 3.8


def copy_reasons(calibration: Calibration, evidence: CardEvidence | None) -> list[Reason]:
    """Return a refusal where a card's patches are rather those of a copy."""
    rough = calibration.leave_one_out.mean > _ROUGH_LEAVE_ONE_OUT
    if evidence is None or evidence.log_odds_of_copy < (_DOUBTFUL if rough else _COPY):
        return []
    return [
        Reason(
            Code.CARD_OTHER,
            "The colours of this card are not those of an original 24-patch card. It may be a print or a copy, which "
            "looks the same to the eye but not to the camera; it may be faded or partly covered; or the camera app "
            "recoloured the picture. Colours would be read wrong by it. Use an original card with nothing on it, and "
            "no effects in the camera app. If it is a card that Tenter printed, choose our own printed card.",
        )
    ]
