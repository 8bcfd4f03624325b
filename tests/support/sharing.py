"""How much of one palette is in another: for a palette made anew, and for two clients of one sub-season."""

import numpy as np

from tenter.arrays import steady
from tenter.colorimetry.difference import delta_e_2000
from tenter.consultation.colours.colours import PersonalPalette

SAME_DELTA_E = 3.0  # ΔE00 within which two swatches pass for one; half of what keeps two colours of a palette apart


def shared(one: PersonalPalette, other: PersonalPalette, within: float = SAME_DELTA_E) -> float:
    """Return the part of one palette's counted colours that another has too, by name or within a ΔE00."""
    if not one.colours or not other.colours:
        return 0.0
    names = {c.name for c in other.colours}
    lab = np.array([c.lab for c in other.colours])
    near = [float(steady(np.min(delta_e_2000(lab, np.array(c.lab))))) <= within for c in one.colours]
    return float(np.mean([c.name in names or at for c, at in zip(one.colours, near, strict=True)]))
