"""Black, navy, grey, denim, camel, brown, white and beige: worn near the face, away from it, or swapped for one's own.

Which they are, and who wears them by convention, is in `staple_customs.py`; here what was seen comes before it.
"""

from collections.abc import Sequence

import numpy as np

from tenter.arrays import FloatArray, steady
from tenter.colorimetry.difference import delta_e_2000
from tenter.consultation.cloths.hue_families import hue_family
from tenter.consultation.colours.borders import HARDLY_DIFFERS
from tenter.consultation.colours.colours import PaletteColour, Part, Staple, StapleAnswer
from tenter.consultation.conventions.method_parts import GreyForWarm
from tenter.consultation.conventions.staple_customs import INSTEAD, STAPLES, by_custom
from tenter.consultation.palette.wear_role import Role
from tenter.consultation.personal.suitability import Known
from tenter.consultation.personal.tried import Tried
from tenter.consultation.wishes.wishes import NO_WISHES, Wishes

_LIKE = 6.0  # ΔE00 within which a cloth that was held speaks for a staple


def staples(
    known: Known, colours: Sequence[PaletteColour], trial: Tried, wishes: Wishes = NO_WISHES
) -> tuple[Staple, ...]:
    """Return where each staple is worn, or which colour of the palette instead; what was seen of one comes first.

    One that hardly differs from a colour of the palette is worn where that is, and not swapped or kept further off.
    One that the client does not want is swapped, however well it suits.
    """
    lab = np.array(list(STAPLES.values()))
    unwanted = wishes.unwanted(lab, [hue_family(colour) for colour in lab])
    found = []
    for row, (name, colour) in enumerate(STAPLES.items()):
        told = _seen(lab[row], trial) or _by_custom(name, known)
        if told is not StapleAnswer.NEAR:
            told = _of_the_palette(lab[row], colours) or told
        answer = StapleAnswer.SWAP if unwanted[row] else told
        swap = _instead(name, lab[row], colours) if answer is not StapleAnswer.NEAR else ""
        found.append(Staple(name, colour, answer, swap))
    return tuple(found)


def _of_the_palette(lab: FloatArray, colours: Sequence[PaletteColour]) -> StapleAnswer | None:
    """Return where the palette has a colour from which a staple hardly differs, or None where it has none.

    A white that is theirs does not make the plain white of a shop theirs: that one is for the bright and cool.
    """
    others = [c for c in colours if c.part is not Part.WHITE]
    if not others:
        return None
    apart = steady(np.asarray(delta_e_2000(np.array([c.lab for c in others]), lab)))
    alike = [c for c, at in zip(others, apart, strict=True) if at <= HARDLY_DIFFERS]
    if any(c.part is Part.NEAR_FACE for c in alike):
        return StapleAnswer.NEAR
    return StapleAnswer.AWAY if alike else None


def _by_custom(name: str, known: Known) -> StapleAnswer:
    answer = by_custom(known.method.staples, name, known.ideal)
    grey_is_fair = name == "grey" and known.method.readings.grey_for_warm is not GreyForWarm.POOR
    return StapleAnswer.AWAY if grey_is_fair and answer is StapleAnswer.SWAP else answer


def _seen(lab: FloatArray, trial: Tried) -> StapleAnswer | None:
    """Return what the nearest cloth that was held and looks like a staple showed, or None."""
    if not trial.held_roles:
        return None
    apart = steady(np.asarray(delta_e_2000(trial.held, lab)))
    if apart.min() > _LIKE:
        return None
    role = trial.held_roles[int(np.argmin(apart))]
    return {Role.NEAR_FACE: StapleAnswer.NEAR, Role.AWAY: StapleAnswer.AWAY}.get(role, StapleAnswer.SWAP)


def _instead(name: str, lab: FloatArray, colours: Sequence[PaletteColour]) -> str:
    quiet = [c for c in colours if c.part in (Part.NEUTRAL, Part.WHITE)]
    if not quiet:
        return ""
    titled = [c.name for c in quiet if c.title and c.title == INSTEAD.get(name)]
    apart = steady(np.asarray(delta_e_2000(np.array([c.lab for c in quiet]), lab)))
    return titled[0] if titled else quiet[int(np.argmin(apart))].name
