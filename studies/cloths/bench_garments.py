"""Can I wear this? How often a carded photograph gives the garment's true role: `./run bench garments`.

Truth is the role of the colour that the known spectrum has; the answer is the role by a photograph of it, under eight
lights and with four cameras, for clients at each prototype and clients drawn at random. A photograph that was refused
counts as *cannot tell*. Shares carry a 95 % interval by resampling garments, each with all of its photographs and
clients: what is wrong of a garment once is often wrong of it again.
"""

import argparse
import time
from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from studies.clients.scoring import ClusteredShare
from studies.clients.targets import Target, at_least, at_most
from studies.cloths.garment_photos import Read, photographed_garments, photographed_prints
from tenter import Method
from tenter.arrays import FloatArray
from tenter.consultation.colours.colours import PersonalPalette
from tenter.consultation.garments.check import check_garment
from tenter.consultation.garments.garment import Garment, GarmentColour, KnownBy
from tenter.consultation.garments.measured_role import measured_role
from tenter.consultation.garments.role import ROLES, GarmentAnswer
from tenter.consultation.personal.making import palette_of
from tenter.consultation.personal.suitability import Known
from tenter.inference.utility import DEFAULT_SHAPES

DAYLIGHT = ("D65", "D50")
_PLACES = 120  # of an ideal, in what is known of a client
_SPREADS = (0.2, 0.6)  # bench units: of the ideal after a long sitting, and after a short one
_SHARE = 3
_REACH = 1.6  # bench units within which a random client's ideal lies


@dataclass(frozen=True, eq=False)
class Client:
    """What is known of one client, and the palette that follows."""

    name: str
    known: Known
    palette: PersonalPalette


@dataclass(frozen=True, slots=True)
class Row:
    """One garment in one photograph for one client."""

    garment: int
    light: str
    camera: str
    client: str
    truth: GarmentAnswer
    answer: GarmentAnswer
    refused: str

    @property
    def commits(self) -> bool:
        return self.answer is not GarmentAnswer.CANNOT_TELL


def clients(method: Method, random: int, seed: int) -> list[Client]:
    """Return a client at each prototype, and some drawn at random, each known more or less well."""
    rng = np.random.default_rng([seed, 2])
    ideals = [*method.prototypes, *rng.uniform(-_REACH, _REACH, (random, 3))]
    names = [*method.categories, *("random" for _ in range(random))]
    return [_client(method, name, ideal, rng) for name, ideal in zip(names, ideals, strict=True)]


def _client(method: Method, name: str, ideal: FloatArray, rng: np.random.Generator) -> Client:
    places = ideal + rng.normal(0, rng.uniform(*_SPREADS), (_PLACES, 3))
    shares = np.repeat(np.array([[shape.share] for shape in DEFAULT_SHAPES]), _PLACES, axis=1)
    known = Known(method, DEFAULT_SHAPES, places, shares)
    return Client(name, known, palette_of(known, categories=(method.category_at(ideal),)))


def true_role(client: Client, read: Read) -> GarmentAnswer:
    """Return where a garment is worn by what an instrument reads of it."""
    exact = [
        GarmentColour((float(lab[0]), float(lab[1]), float(lab[2])), (0.0, 0.0, 0.0), area, KnownBy.SPECTRUM)
        for lab, area in zip(read.true, read.areas, strict=True)
    ]
    return measured_role(client.palette, client.known, exact).role


def answered(client: Client, garment: Garment | None) -> GarmentAnswer:
    """Return what is said of a photographed garment."""
    return GarmentAnswer.CANNOT_TELL if garment is None else check_garment(client.palette, client.known, garment).answer


def rows_of(people: Sequence[Client], reads: Iterable[Read]) -> list[Row]:
    """Return each garment in each photograph for every third client, so that all of them come in their turn."""
    return [
        Row(read.garment, read.light, read.camera, c.name, true_role(c, read), answered(c, read.seen), read.refused)
        for turn, read in enumerate(reads)
        for c in people[turn % _SHARE :: _SHARE]
    ]


def shares(rows: Sequence[Row]) -> tuple[ClusteredShare, ClusteredShare]:
    """Return the share of answers that are right, and the share of checks that get none."""
    garments = np.array([row.garment for row in rows])
    commits, right = (np.array([f(row) for row in rows]) for f in (_commits, _right))
    return ClusteredShare(right, commits, garments), ClusteredShare(~commits, np.ones(len(rows), dtype=bool), garments)


def _commits(row: Row) -> bool:
    return row.commits


def _right(row: Row) -> bool:
    return row.answer is row.truth


def line(name: str, rows: Sequence[Row]) -> str:
    right, silent = shares(rows)
    return f"{name:22s} {len(rows):6d}   {right!s:>20s}   {silent!s:>20s}"


def report(title: str, rows: Sequence[Row]) -> None:
    """Print what came, in all and by light, camera, client and true role."""
    print(f"\n{title:22s}      n   right when said       cannot tell")
    print(line("all", rows))
    groups: dict[str, list[Row]] = defaultdict(list)
    for row in rows:
        groups["  daylight" if row.light in DAYLIGHT else "  other light"].append(row)
        groups[f"  {row.light}"].append(row)
        groups[f"  {row.camera}"].append(row)
        groups["  client at random" if row.client == "random" else "  client at a prototype"].append(row)
        groups[f"  truly {row.truth}"].append(row)
    for name in sorted(groups):
        print(line(name, groups[name]))
    wrong = [row for row in rows if row.commits and row.answer is not row.truth]
    two = sum(abs(ROLES.index(row.answer) - ROLES.index(row.truth)) > 1 for row in wrong)
    print(f"wrong by more than one role: {two} of {len(wrong)}")
    print("refused:", ", ".join(f"{code} {n}" for code, n in Counter(r.refused for r in rows if r.refused).items()))


def targets(rows: Sequence[Row], seconds: float) -> list[Target]:
    right, silent = shares(rows)
    return [
        at_least("garments: right when said", right.value, 0.90),
        at_most("garments: cannot tell", silent.value, 0.25),
        at_most("a check once the photograph is measured, processor", 1000 * seconds, 100.0, "ms"),
    ]


def seconds_of_a_check(people: Sequence[Client], reads: Sequence[Read]) -> float:
    """Return the 95th percentile of the processor's seconds that a check takes."""
    taken = []
    for read in [read for read in reads if read.seen][:60]:
        start = time.process_time()
        answered(people[len(taken) % len(people)], read.seen)
        taken.append(time.process_time() - start)
    return float(np.percentile(taken, 95))


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n", maxsplit=1)[0])
    parser.add_argument("--count", type=int, default=56, help="pictures of six garments; a quarter as many of prints")
    parser.add_argument("--random", type=int, default=6, help="clients drawn at random beside the prototypes")
    parser.add_argument("--seed", type=int, default=11)
    options = parser.parse_args()
    people = clients(Method.bundled(), options.random, options.seed)
    reads = list(photographed_garments(options.count, options.seed))
    rows = rows_of(people, reads)
    report("garments", rows)
    report("prints", rows_of(people, photographed_prints(options.count // 4, options.seed)))
    print("\n" + "\n".join(str(t) for t in targets(rows, seconds_of_a_check(people, reads))))


if __name__ == "__main__":
    main()
