"""Cloths that suit nearly everyone, or nearly nobody, and so decide nothing on their own.

Reckoned on invented clients, of Tenter's own model: a cloth near the middle of all categories does well whoever sits,
and one far outside does badly, so that an answer to it hardly moves the odds.
"""

from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache

import numpy as np

from tenter.arrays import FloatArray, steady
from tenter.consultation.laid_out.audit import FindingKind, KitFinding, cloth_named
from tenter.consultation.laid_out.bench import Bench
from tenter.consultation.laid_out.coverage import countable
from tenter.consultation.reading.evidence import RESPONSES
from tenter.consultation.worth.invented_clients import InventedClients
from tenter.inference.likelihood import UtilityLevel, single_probabilities
from tenter.inference.planning import answer_information
from tenter.language import N_, _, local_number

_CLIENTS, _SEED = 4000, 16  # enough that a share is known to 1 in 100; any seed would do
_NEARLY_ALL = 0.8  # of clients: ours
# Nats: half of what an answer to one cloth of the demo kit says at the median (0.14). Ours.
_LITTLE = 0.07
_FOR_EVERYONE = N_(
    "{cloth} suits nearly everyone: it does better than most of the kit on {share} % of invented clients, so that on "
    "its own it decides nothing."
)
_FOR_NOBODY = N_(
    "{cloth} suits nearly nobody: it does worse than most of the kit on {share} % of invented clients, so that on its "
    "own it decides nothing."
)


class Reach(StrEnum):
    """Whom a cloth suits."""

    NEARLY_EVERYONE = "nearly everyone"
    SOME = "some"
    NEARLY_NOBODY = "nearly nobody"


@dataclass(frozen=True, slots=True)
class ClothReach:
    """On how many clients a cloth does better than most of the kit, and what an answer to it alone says.

    `ahead` is a share of invented clients, `information` nats about the category.
    """

    cloth: str
    ahead: float
    information: float

    @property
    def suits(self) -> Reach:
        """Whom the cloth suits, by the share of clients on whom it is ahead."""
        if steady(self.ahead) >= _NEARLY_ALL:
            return Reach.NEARLY_EVERYONE
        return Reach.NEARLY_NOBODY if steady(self.ahead) <= 1 - _NEARLY_ALL else Reach.SOME

    @property
    def decides_nothing(self) -> bool:
        """Whether the cloth suits nearly everyone or nearly nobody, and an answer to it alone says next to nothing."""
        return self.suits is not Reach.SOME and bool(steady(self.information) <= _LITTLE)


@lru_cache(maxsize=4)
def cloth_reach(bench: Bench) -> tuple[ClothReach, ...]:
    """Return the reach of every measured cloth that is no metal, in the kit's order."""
    rows = np.flatnonzero(countable(bench))
    if not rows.size:
        return ()
    clients = InventedClients.drawn(bench.method, _CLIENTS, _SEED)
    utilities = clients.utilities(bench.coordinates[rows])
    better = steady(utilities) > np.median(steady(utilities), axis=0)
    told = _information(utilities, clients)
    return tuple(
        ClothReach(bench.kit.ids[row], float(ahead), float(information))
        for row, ahead, information in zip(rows, better.mean(axis=1), told, strict=True)
    )


def _information(utilities: FloatArray, clients: InventedClients) -> FloatArray:
    membership = np.eye(clients.categories.max() + 1)[clients.categories].T
    told = [
        answer_information(
            np.stack([single_probabilities(own, clients.sigmas, level, RESPONSES) for level in UtilityLevel])[None],
            membership,
        )
        for own in utilities
    ]
    return np.concatenate(told)


def reach_findings(bench: Bench) -> tuple[KitFinding, ...]:
    """Return a finding for each cloth that decides nothing on its own, those that suit nearly everyone first."""
    told = [reach for reach in cloth_reach(bench) if reach.decides_nothing]
    told.sort(key=lambda reach: (reach.suits is Reach.NEARLY_NOBODY, -abs(reach.ahead - 0.5)))
    return tuple(_finding(bench, reach) for reach in told)


def _finding(bench: Bench, reach: ClothReach) -> KitFinding:
    everyone = reach.suits is Reach.NEARLY_EVERYONE
    share = reach.ahead if everyone else 1 - reach.ahead
    return KitFinding(
        FindingKind.DECIDES_NOTHING,
        (reach.cloth,),
        _(
            _FOR_EVERYONE if everyone else _FOR_NOBODY,
            cloth=cloth_named(bench.kit[reach.cloth]),
            share=local_number(100 * share, 0),
        ),
        _("Don't let it settle a border check. Hold it against a cloth of its own hue."),
    )
