"""What a photograph says of its light: which lamp the card's patches look lit by, and how its white was recorded.

A picture holds three numbers where a lamp has a spectrum. It tells kinds of lamps apart, and no colour rendering; and
its white is what the camera's white balance has left of the lamp's colour.
"""

from dataclasses import dataclass

import numpy as np

from tenter.colorimetry.spaces import SRGB_TO_XYZ, decode_srgb
from tenter.photo.card.calibration import Calibration
from tenter.photo.card.evidence import card_evidence
from tenter.photo.card.poor_light import poor_light


@dataclass(frozen=True, slots=True)
class LampSeen:
    """The light on a classic card in a photograph.

    lamps: CIE illuminants, each with its probability, the likeliest first, "any" for a lamp that is none of them; empty
    where too few patches can be read. poor: the probability of a lamp under which cameras and eyes part.
    white_xyz: (3,), the light on the card as the picture records it, sRGB taken at its word, Y = 1. across_card: by
    which share the darkest patch's light falls short of the brightest's; None where the picture could not tell.
    """

    lamps: tuple[tuple[str, float], ...]
    poor: float
    white_xyz: tuple[float, float, float]
    across_card: float | None


def lamp_seen(calibration: Calibration) -> LampSeen:
    """Return what a calibrated photograph says of its light."""
    evidence = card_evidence(calibration)
    found = {} if evidence is None else evidence.lamp_probabilities
    white = decode_srgb(calibration.reading.code[calibration.card.white]) @ SRGB_TO_XYZ.T
    own = calibration.card.xyz[calibration.card.white] / np.array(SRGB_TO_XYZ.sum(axis=1))
    X, Y, Z = white / own
    light = calibration.light
    return LampSeen(
        lamps=tuple(sorted(found.items(), key=lambda item: -round(item[1], 6))),
        poor=poor_light(evidence),
        white_xyz=(float(X / Y), 1.0, float(Z / Y)),
        across_card=None if light is None else float(1 - np.exp(-light.range)),
    )
