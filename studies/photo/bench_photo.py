"""How well colours are read from photographs whose truth is known: `./run bench photo`.

Photographs of the rendered scenes of studies/scenes/rendered are made afresh, every skin under every light and camera,
and held against what a perfect colorimeter would read were the scene lit by D65 (Lab D65/2°); regions of at least 200
pixels, the neck left out. "Lightness-matched" scales the colour read to the true luminance first, which leaves the
error in hue and chroma. `--world real` gives card, lens and phone the ways of real ones (real_world.py), on the same
scenes, lights and cameras. `--folder` measures pictures beside a truth.json instead.
"""

import argparse
import json
import logging
import os
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property, partial
from pathlib import Path

import numpy as np

from studies.clients.targets import Target, at_most
from studies.cloths.cloth_study import cloth_study, cloth_targets, report
from studies.photo import mutations
from studies.photo.card_against_face import against_plans, against_runs, against_table, against_targets
from studies.photo.own_card_study import own_runs, own_table, own_targets
from studies.photo.photo_accuracy import (
    HEADING,
    accuracy_targets,
    line,
    pair_differences,
    pair_targets,
    peer_errors,
    peer_targets,
    skin_itself,
    table,
)
from studies.photo.photo_gate import gate_runs, gate_table, gate_targets
from studies.photo.photo_poses import pose_runs, pose_table, pose_targets
from studies.photo.photo_runs import Run, run_all, run_with_peers
from studies.photo.photo_speed import speed_targets
from studies.photo.photo_strangers import stranger_runs, stranger_table, stranger_targets
from studies.scenes.exposure import SKINS, Plan, every_skin_in_every_light, ordinary_shot
from studies.scenes.photo_truth import Truth, rows_of
from studies.scenes.real_world import WORLDS, in_world
from tenter.photo.face.measure import measure_photo
from tenter.photo.face.result import PhotoVerdict

BUILD = Path(__file__).parents[2] / "build" / "bench"
# Lights and mixtures that neither the intervals nor the gate were set on.
STRANGE_LIGHTS = ("FL3.2", "FL3.7", "FL3.12", "FL6", "FL10", "FL12", "LED-V2", "BB3400", "DAY8000")
STRANGE_PAIRS = (("DAY8000", "BB3400"), ("D50", "FL3.12"))


@dataclass(frozen=True)
class Study:
    """The photographs that several parts read; taken when the first part asks."""

    count: int
    seed: int
    strange: bool
    world: str = "rendered"

    @cached_property
    def runs(self) -> list[Run]:
        taken = strange_plans if self.strange else partial(every_skin_in_every_light, SKINS)
        plans = in_world(taken(count=self.count, seed=self.seed), self.world, self.seed)
        return run_all(plans, "photographs", run_with_peers)

    @cached_property
    def accepted(self) -> list[Run]:
        return [run for run in self.runs if run.verdict is not PhotoVerdict.REFUSED]


def strange_plans(count: int, seed: int) -> list[Plan]:
    """Return ordinary photographs under lights that nothing was set on."""
    rng = np.random.default_rng(seed)
    cameras = ("nikon", "sigma", "phone-a", "phone-b")
    plans = []
    for number in range(count):
        scene = SKINS[number % len(SKINS)]
        light: str | tuple[str, str] = str(rng.choice(STRANGE_LIGHTS))
        if scene in {"p5", "p10"} and rng.random() < 0.25:
            light = STRANGE_PAIRS[int(rng.integers(len(STRANGE_PAIRS)))]
        plans.append(Plan(scene, light, str(rng.choice(cameras)), ordinary_shot(rng)))
    return plans


def accuracy(study: Study) -> list[Target]:
    print(f"{len(study.runs)} photographs, {len(study.accepted)} accepted, of these with wider intervals "
          f"{sum(run.verdict is PhotoVerdict.WIDER for run in study.accepted)}")  # fmt: skip
    refused = Counter(code for run in study.runs if run.verdict is PhotoVerdict.REFUSED for code in run.codes)
    print("refused, with these reasons and notes:", ", ".join(f"{code} {n}" for code, n in refused.most_common()))
    print("\n".join(table(study.accepted)))
    print("\nthe skin itself")
    print("\n".join(skin_itself(study.accepted)))
    return accuracy_targets(study.accepted) if study.accepted else []


def pairs(study: Study) -> list[Target]:
    differences = pair_differences(study.accepted)
    print(f"{len(differences)} pairs of readings: ΔE00 median {np.median(differences):.2f}, "
          f"95 of 100 {np.percentile(differences, 95):.2f}")  # fmt: skip
    return pair_targets(differences)


def gate(study: Study) -> list[Target]:
    good, trials = gate_runs(study.count, study.seed, study.world)
    print("\n".join(gate_table(good, trials)))
    return gate_targets(good, trials)


def peers(study: Study) -> list[Target]:
    errors = peer_errors(study.accepted)
    for name, some in errors.items():
        print(f"{name:44s} {len(some):4d}  median {np.median(some):5.2f}   95 of 100 {np.percentile(some, 95):5.2f}")
    return peer_targets(errors)


def speed(_: Study) -> list[Target]:
    print(f"load of the machine {os.getloadavg()[0]:.1f}")
    return speed_targets()


def spoilt_files(_: Study) -> list[Target]:
    outcomes = mutations.run()
    print("\n".join(outcomes.lines()))
    return [at_most("spoilt files: crashes, hangs, exceptions, too slow", len(outcomes.bad), 0)]


def own(study: Study) -> list[Target]:
    targets = []
    for photographs in (1, 2):
        runs = own_runs(study.count, study.seed, photographs)
        print("\n".join(own_table(runs, photographs)))
        targets += own_targets(runs, photographs)
    return targets


def cloth(study: Study) -> list[Target]:
    tally = cloth_study(max(8, study.count // 6), study.seed)  # six cloths, twenty or three prints in each
    report(tally)
    return cloth_targets(tally)


def strangers(study: Study) -> list[Target]:
    runs = stranger_runs(study.count, study.seed + 3)
    print("\n".join(stranger_table(runs)))
    return stranger_targets(runs)


def poses(study: Study) -> list[Target]:
    runs = pose_runs(max(4, study.count // 24), study.seed + 4, study.world)
    print("\n".join(pose_table(runs)))
    return pose_targets(runs)


def against(study: Study) -> list[Target]:
    taken = against_runs(against_plans(max(1, study.count // 240), study.seed + 46, world=study.world))
    print("\n".join(against_table(taken)))
    return against_targets(taken)


PARTS: dict[str, Callable[[Study], list[Target]]] = {
    "accuracy": accuracy,
    "pairs": pairs,
    "peers": peers,
    "gate": gate,
    "strangers": strangers,
    "poses": poses,
    "against": against,
    "own": own,
    "cloth": cloth,
    "speed": speed,
    "mutations": spoilt_files,
}


_OF_A_WORLD = ("accuracy", "pairs", "peers", "gate", "poses", "against")


def measure_folder(folder: Path) -> None:
    """Print the table for the pictures of a folder laid out like tests/data/rendered_portraits."""
    rows, refused = [], []
    for image in json.loads((folder / "truth.json").read_text(encoding="utf-8"))["images"]:
        measured = measure_photo(folder / image["file"])
        rows += rows_of(Truth.of_image(image), measured)
        if not measured.accepted:
            refused.append(f"{image['file']}: {', '.join(str(r.code) for r in measured.reasons if r.refuses)}")
    print(HEADING)
    print(line("all", rows))
    print(f"refused: {len(refused)}", *refused, sep="\n  ")


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n", maxsplit=1)[0])
    parser.add_argument("--parts", nargs="+", choices=PARTS, default=list(PARTS))
    parser.add_argument("--count", type=int, default=240, help="photographs of each kind")
    parser.add_argument("--seed", type=int, default=5)
    parser.add_argument("--strange-lights", action="store_true", help="lights that nothing was set on")
    parser.add_argument("--world", choices=WORLDS, default=WORLDS[0], help=f"of the parts {', '.join(_OF_A_WORLD)}")
    parser.add_argument("--folder", type=Path, help="pictures beside a truth.json instead")
    options = parser.parse_args()
    logging.disable(logging.CRITICAL)
    if options.folder:
        measure_folder(options.folder)
        return
    study, targets = Study(options.count, options.seed, options.strange_lights, options.world), []
    for part in options.parts:
        print(f"\n{part}\n{'-' * len(part)}")
        targets += PARTS[part](study)
    print("\n" + "\n".join(str(target) for target in targets))
    BUILD.mkdir(parents=True, exist_ok=True)
    (BUILD / "photo.json").write_text(json.dumps([t.plain() for t in targets], indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
