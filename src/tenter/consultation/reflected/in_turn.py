"""Whether photographs show a light and a dark cloth in turn, as they were said to, before a room is measured by them.

F follows from what the face does between two cloths. Where one cloth was photographed throughout, or the two were mixed
up, the face would say that the room throws no light, or less than none; so what is below the chin is looked at first.
"""

from collections.abc import Sequence

import numpy as np

from tenter.arrays import BoolArray, FloatArray
from tenter.consultation.reflected.effect import ThrowingSurface
from tenter.errors import Refused
from tenter.language import _, all_of, ngettext

# Between the cloths' mean reflectances: white and black differ by 0.8, and noise counts as much less.
_LEAST_APART = 0.3
_LEAST_SEEN = 0.3  # of the ratio that the cloths have, as logarithms: shade and gloss leave far more; set by judgement
_LEAST_LIGHT = 0.01  # Y of the blackest cloth, nearly; below it a camera sees noise alone


def require_apart(a: ThrowingSurface, b: ThrowingSurface) -> None:
    """Raise `Refused` for two cloths that send back too similar amounts of light to measure a room by."""
    if abs(_mean(a) - _mean(b)) < _LEAST_APART:
        raise Refused(
            _(
                "{a} and {b} send back too similar amounts of light to measure F by. Use a white and a black.",
                a=a.name,
                b=b.name,
            )
        )


def require_in_turn(letters: str, drape: Sequence[float | None], a: ThrowingSurface, b: ThrowingSurface) -> None:
    """Raise `Refused` where what is below the chin is not the cloth that the letters say, photograph by photograph.

    drape: Y below the chin of each photograph, 0 to 1, None where it is not read; of fewer than two nothing is said.
    """
    light = np.array([np.nan if y is None else max(y, _LEAST_LIGHT) for y in drape])
    seen = np.isfinite(light)
    if len(light) != len(letters) or seen.sum() < 2:
        return
    logs = np.log(light)
    if np.ptp(logs[seen]) < _LEAST_SEEN * abs(float(np.log(_mean(a) / _mean(b)))):
        raise Refused(
            _(
                "What is below the chin is equally light in all photographs. Either one drape was photographed "
                "throughout, or the drapes did not cover the chest. Take the series again: change the drape "
                "between every two photographs, and cover the chest up to the neck."
            )
        )
    _require_said(letters, logs, seen, a, b)


def _require_said(letters: str, logs: FloatArray, seen: BoolArray, a: ThrowingSurface, b: ThrowingSurface) -> None:
    is_light = logs > (np.nanmin(logs) + np.nanmax(logs)) / 2
    said_light = np.array([(letter == "A") == (_mean(a) > _mean(b)) for letter in letters])
    wrong = [k for k in np.flatnonzero(seen) if is_light[k] != said_light[k]]
    if not wrong:
        return
    if len(wrong) == seen.sum():
        where = all_of([str(k + 1) for k in np.flatnonzero(said_light)])
        raise Refused(
            _(
                "The two drapes are mixed up: photographs {numbers} were said to show the lighter drape, and they "
                "show the darker one. Name the drapes the other way round.",
                numbers=where,
            )
        )
    raise Refused(
        ngettext(
            "Photograph {numbers} shows the other drape than the order says. Correct the order, or take the series "
            "again in turn: white, black, white, black.",
            "Photographs {numbers} show the other drape than the order says. Correct the order, or take the series "
            "again in turn: white, black, white, black.",
            len(wrong),
            numbers=all_of([str(k + 1) for k in wrong]),
        )
    )


def _mean(surface: ThrowingSurface) -> float:
    return max(float(surface.reflectance.mean()), _LEAST_LIGHT)
