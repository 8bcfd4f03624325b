"""The phases of a sitting: what each decides between, and when it is over."""

import numpy as np

from tenter.arrays import FloatArray, steady
from tenter.consultation.conventions.method import Method
from tenter.consultation.conventions.method_parts import Decides, Phase
from tenter.consultation.laid_out.bench import Frame
from tenter.inference.posterior import Posterior

DONE = "done"


def classes(frame: Frame, decides: Decides, posterior: Posterior) -> FloatArray:
    """Return membership (k, n), 0 to 1, of n ideal points in the k classes that a phase decides between."""
    if decides is Decides.UNDERTONE:
        return frame.sides
    if decides is Decides.DEPTH:
        return frame.depths
    if decides is Decides.SEASON:
        return frame.seasons
    if decides is Decides.CATEGORY:
        season = frame.method.seasons[int(np.argmax(steady(posterior.masses(frame.seasons))))]
        return frame.categories[[r.season == season for r in frame.method.regions]]
    return frame.categories


def is_settled(phase: Phase, count: int, frame: Frame, posterior: Posterior) -> bool:
    """Tell whether a phase is over after `count` entries in it."""
    if count >= phase.most:
        return True
    return (
        count >= phase.least and float(posterior.masses(classes(frame, phase.decides, posterior)).max()) >= phase.enough
    )


def next_phase(method: Method, current: str, count: int, frame: Frame, posterior: Posterior) -> tuple[str, int]:
    """Return the phase after an entry, and how many entries it has had; "done" after the last."""
    ids = [p.id for p in method.phases]
    while current != DONE:
        place = ids.index(current)
        if not is_settled(method.phases[place], count, frame, posterior):
            break
        current, count = (ids[place + 1], 0) if place + 1 < len(ids) else (DONE, 0)
    return current, count


def deciding(method: Method, phase: str) -> Decides:
    """Return what a phase decides; after the last phase, the likeliest category against the rest."""
    return next((p.decides for p in method.phases if p.id == phase), Decides.NEIGHBOUR)
