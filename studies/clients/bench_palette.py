"""Whether a personal palette suits its client better than the fixed card of their sub-season: `./run bench palette`.

Simulated clients of every world, judged along the plan. Each gets the personal palette of their sitting, and the card
of the sub-season that the verdict names: the same routine, counts and distances, run on the prototype alone, with
nothing seen. How well a colour truly suits is the client's own utility, which a simulation knows. Prints for how many
clients the personal palette's mean is the higher one, for how many of those whose verdict was wrong, and by how much.
Beside it stands the palette of an engine that knows the client's ideal and utility, and chooses as this one does: what
more comparisons could reach at most. Sittings are kept (`kept_sittings.py`), so that a second run is a short one.

What a colour is to a face may be read two ways, by the undertone that cloths are judged by or by the one that they are
worn by (docs/how-it-works/model.md); a palette goes by the second, a simulated answer by the first, so both are
printed.
"""

import os

os.environ["OMP_NUM_THREADS"] = "1"

import argparse
import json
import zlib
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from time import process_time

import numpy as np

from studies.clients.kept_sittings import sat
from studies.clients.scoring import Share
from studies.clients.simulation import Judge, World
from studies.clients.trials import Setting, prepare, study_method
from tenter.arrays import FloatArray
from tenter.consultation.colours.colours import PersonalPalette
from tenter.consultation.conventions.method import Use
from tenter.consultation.personal.making import palette_of
from tenter.consultation.personal.suitability import Known, prototype
from tenter.consultation.personal.tried import Tried
from tenter.inference.utility import DEFAULT_SHAPES

BUILD = Path(__file__).parents[2] / "build" / "bench"
COMPARISONS = 20
USES = (Use.WEAR, Use.JUDGE)
_ENOUGH_WRONG = 100
_EFFECTS, _ERRORS = 0.4, 0.25  # of the worlds that have them, for colours that are no cloth of the kit


@dataclass(frozen=True, eq=False)
class Served:
    """One client after their sitting: what is known of them, what was tried, and the verdict's category."""

    judge: Judge
    world: World
    known: Known
    trial: Tried
    categories: tuple[str, ...]
    named: str
    probabilities: dict[str, float]
    seconds: float

    @property
    def truth(self) -> str:
        """The category that holds the client's ideal."""
        return self.known.method.category_at(self.judge.theta)

    @property
    def wrong(self) -> bool:
        """Whether the verdict names another category than the client's."""
        return self.named != self.truth


@dataclass(frozen=True, slots=True)
class Compared:
    """Mean true utility of the personal palette, the card and that of who knows the client, by two readings."""

    world: World
    wrong: bool
    personal: tuple[float, ...]
    card: tuple[float, ...]
    knowing: tuple[float, ...]
    seen: int
    seconds: float


def served(world: World, index: int, seed: int) -> Served:
    """Return one client of a world after a planned sitting."""
    judge, left = sat(world, index, seed, COMPARISONS)
    began = process_time()
    known, trial = left.known(), left.trial(judge)
    seconds = left.seconds + process_time() - began
    return Served(judge, world, known, trial, left.categories, left.named, left.probabilities, seconds)


def compared(client: Served) -> Compared:
    """Return how well a client's palette and the card of the sub-season named truly suit them."""
    began = process_time()
    personal = palette_of(client.known, client.trial, client.categories, client.probabilities)
    seconds = client.seconds + process_time() - began
    card, knowing = card_of(client.named), palette_of(_knowing(client), client.trial, (client.truth,))
    return Compared(
        client.world,
        client.wrong,
        tuple(true_utility(client, personal, use) for use in USES),
        tuple(true_utility(client, card, use) for use in USES),
        tuple(true_utility(client, knowing, use) for use in USES),
        sum(c.cloth is not None for c in personal.colours),
        seconds,
    )


def _knowing(client: Served) -> Known:
    """Return what would be known of a client were nothing unsure."""
    judge = client.judge
    return Known(client.known.method, (judge.shape,), judge.theta[None, :], np.ones((1, 1)))


_cards: dict[str, PersonalPalette] = {}


def card_of(category: str) -> PersonalPalette:
    """Return the fixed card of a sub-season."""
    if category not in _cards:
        _cards[category] = palette_of(prototype(study_method(), category, DEFAULT_SHAPES), categories=(category,))
    return _cards[category]


def true_utility(client: Served, made: PersonalPalette, use: Use) -> float:
    """Return the mean utility of the counted colours to a client, as their world has it."""
    judge, kit = client.judge, client.judge.bench.kit
    lab = np.array([c.lab for c in made.colours])
    families = [c.hue_family for c in made.colours]
    places, effects = client.known.method.places(lab, families, use), np.zeros(len(lab))
    errors = judge.coordinates - judge.bench.coordinates
    for row, colour in enumerate(made.colours):
        if colour.cloth is not None:
            cloth = kit.row(colour.cloth)
            places[row], effects[row] = places[row] + errors[cloth], judge.effects[cloth]
        else:
            places[row], effects[row] = _own_departures(client.world, places[row], colour.lab)
    utility = judge.shape.utility(places, judge.theta[None, :])[:, 0] + effects
    return float(np.mean(utility if judge.cap is None else np.maximum(utility, judge.cap)))


def _own_departures(world: World, place: FloatArray, lab: tuple[float, float, float]) -> tuple[FloatArray, float]:
    """Return where a client sees a colour that is no cloth of the kit, and its effect beside its colour.

    Drawn as for the kit's cloths, once for each colour: in whichever palette it is, it is the same.
    """
    rng = np.random.default_rng(zlib.crc32(str(lab).encode()))
    if world in (World.COORDINATE_ERRORS, World.MIXED):
        return place + rng.normal(0, _ERRORS, 3), 0.0
    return place, float(rng.normal(0, _EFFECTS)) if world is World.DRAPE_EFFECTS else 0.0


def lines_of(found: Sequence[Compared]) -> list[str]:
    """Return the tables of the study, one for each reading of undertone."""
    lines = [
        f"{'':20s}{'n':>5s}{'wrong':>6s}  {'personal higher':24s}{'of the wrong ones':24s}{'who knows the client':24s}"
        f"{'mean gain':>10s}{'quartiles':>24s}{'knowing':>9s}"
    ]
    for column, use in enumerate(USES):
        lines.append(f"by the undertone that cloths are {'worn' if use is Use.WEAR else 'judged'} by")
        for world in [*World, None]:
            of_world = [c for c in found if world in (None, c.world)]
            if of_world:
                lines.append(_line(str(world or "all worlds"), of_world, column))
    return lines


def _line(name: str, found: Sequence[Compared], column: int) -> str:
    gains = np.array([c.personal[column] - c.card[column] for c in found])
    knowing = np.array([c.knowing[column] - c.card[column] for c in found])
    wrong = np.array([c.wrong for c in found], dtype=bool)
    quartiles = " ".join(f"{q:7.3f}" for q in np.percentile(gains, (25, 50, 75)))
    return (
        f"  {name:18s}{len(gains):5d}{wrong.sum():6d}  {Share.of(gains > 0)!s:24s}{Share.of(gains[wrong] > 0)!s:24s}"
        f"{Share.of(knowing > 0)!s:24s}{gains.mean():10.3f}{quartiles:>24s}{knowing.mean():9.3f}"
    )


def _losses(found: Sequence[Compared]) -> str:
    gains = np.array([c.personal[0] - c.card[0] for c in found])
    won, lost = gains[gains > 0], -gains[gains <= 0]
    return f"where it is higher, by {np.median(won):.3f} at the median; where it is lower, by {np.median(lost):.3f}"


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n", maxsplit=1)[0])
    parser.add_argument("--clients", type=int, default=80, help="of every world, at most")
    parser.add_argument("--wrong", type=int, default=_ENOUGH_WRONG, help="stop once so many verdicts were wrong")
    parser.add_argument("--seed", type=int, default=5)
    given = parser.parse_args()
    prepare([Setting("palette")], given.seed)
    found: list[Compared] = []
    for index in range(given.clients):  # every world in turn, so that whenever it stops all have as many
        found += [compared(served(world, index, given.seed)) for world in World]
        if sum(c.wrong for c in found) >= given.wrong:
            break
    print(f"PERSONAL PALETTES AGAINST THE CARD OF THE SUB-SEASON: {len(found)} clients after {COMPARISONS} comparisons")
    print("\n".join(lines_of(found)))
    print(f"by the undertone that cloths are worn by, {_losses(found)}")
    milliseconds = np.array([1000 * c.seconds for c in found])
    middle, most = np.percentile(milliseconds, (50, 95))
    seen = np.mean([c.seen for c in found])
    print(f"\npalette from a posterior: median {middle:.0f} ms, 95 % within {most:.0f} ms; {seen:.1f} colours seen")
    BUILD.mkdir(parents=True, exist_ok=True)
    plain = [{"world": str(c.world), "wrong": c.wrong, "personal": c.personal, "card": c.card} for c in found]
    (BUILD / "palette.json").write_text(json.dumps({"seed": given.seed, "clients": plain}))


if __name__ == "__main__":
    main()
