"""Tables and targets of the colours read from rendered photographs."""

from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from itertools import combinations

import numpy as np

from studies.clients.targets import Target, at_least, at_most
from studies.photo.photo_runs import Run
from studies.scenes.photo_truth import TRUTH_NAME, Row, lightness_matched
from tenter.arrays import FloatArray
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.typology import ItaClass
from tenter.photo.regions.regions import SKIN

HEADING = "                       n   ΔE00   p95  match   p95   L*   a*   b*     ± L*  a*  b*"


def line(name: str, rows: Sequence[Row]) -> str:
    """Return one line of the table: errors, the same lightness-matched, cover and half-widths."""
    if not rows:
        return f"{name:19s}   0"
    errors, matched = ([getattr(row, kind) for row in rows] for kind in ("error", "matched_error"))
    coverage = np.mean([row.covered for row in rows], axis=0)
    width = np.median([row.half_width for row in rows], axis=0)
    return (
        f"{name:19s} {len(rows):4d}  {np.median(errors):5.2f} {np.percentile(errors, 95):5.2f}"
        f"  {np.median(matched):5.2f} {np.percentile(matched, 95):5.2f}"
        f"   {coverage[0]:.2f} {coverage[1]:.2f} {coverage[2]:.2f}   {width[0]:.1f} {width[1]:.1f} {width[2]:.1f}"
    )


def groups(runs: Iterable[Run], key: Callable[[Run], str]) -> dict[str, list[Row]]:
    """Return the rows of skin by what `key` says of their photograph."""
    found: dict[str, list[Row]] = defaultdict(list)
    for run in runs:
        found[key(run)] += run.skin
    return found


def table(runs: Sequence[Run]) -> list[str]:
    """Return the table: by region, then the skin (lips apart) by class, light and camera."""
    rows = [row for run in runs for row in run.rows]
    lines = [HEADING, *(line(region, [r for r in rows if r.region is region]) for region in TRUTH_NAME)]
    by_class = groups(runs, lambda run: run.truth.skin)
    lines += ["", *(line(name, by_class.get(name, [])) for name in ItaClass)]
    for key in (lambda run: run.light, lambda run: run.camera):
        lines += ["", *(line(name, some) for name, some in sorted(groups(runs, key).items()))]
    return [*lines, "", line("skin", [r for r in rows if r.region in SKIN]), line("skin and lips", rows)]


def cover_of_faces(runs: Sequence[Run]) -> FloatArray:
    """Return how much the intervals of L*, a*, b* (3,) cover: mean of a photograph, then of a face, then of all."""
    faces: dict[str, list[FloatArray]] = defaultdict(list)
    for run in runs:
        if run.skin:
            faces[run.truth.scene].append(np.mean([row.covered for row in run.skin], axis=0))
    cover: FloatArray = np.mean([np.mean(photos, axis=0) for photos in faces.values()], axis=0)
    return cover


# These cards get the light of the face. Every interval of L* has room for one that does not, and holds too often here.
_MOST_COVER = {"L*": 100, "a*": 95, "b*": 95}


def accuracy_targets(runs: Sequence[Run]) -> list[Target]:
    """Return what is wanted of the skin (lips apart) of accepted photographs."""
    rows = [row for run in runs for row in run.skin]
    errors, matched = [row.error for row in rows], [row.matched_error for row in rows]
    by_class = {name: float(np.median([r.error for r in some])) for name, some in _by_class(runs).items()}
    cover, width = cover_of_faces(runs), np.median([row.half_width for row in rows], axis=0)
    targets = [
        at_least("photographs", len(runs), 200),
        at_most("skin, ΔE00, median", float(np.median(errors)), 2.0),
        at_most("the same, 95 of 100", float(np.percentile(errors, 95)), 4.3),
        at_most("lightness-matched, median", float(np.median(matched)), 1.1),
        at_most("the same, 95 of 100", float(np.percentile(matched, 95)), 2.8),
        at_most("worst class of skin over the best, medians", max(by_class.values()) / min(by_class.values()), 2.0),
    ]
    for k, axis in enumerate(("L*", "a*", "b*")):
        targets += [
            at_least(f"90 % intervals of {axis} cover", 100 * float(cover[k]), 85, "%"),
            at_most("the same", 100 * float(cover[k]), _MOST_COVER[axis], "%"),
            at_most(f"half-width of {axis}, median", float(width[k]), 4.5),
        ]
    return targets


def _by_class(runs: Iterable[Run]) -> dict[str, list[Row]]:
    return groups(runs, lambda run: run.truth.skin)


def skin_itself(runs: Sequence[Run]) -> list[str]:
    """Return the table of the skin's own reflectance, lightness-matched, beside what a perfect colorimeter misses."""
    lines = [
        "                       n   read   p95  gloss   p95    (lightness-matched ΔE00 against the bare reflectance)"
    ]
    by_class = _by_class(runs)
    for name in (*ItaClass, "skin"):
        rows = by_class.get(name, []) if name != "skin" else [row for run in runs for row in run.skin]
        if not rows:
            lines.append(f"{name:19s}   0")
            continue
        bare = [row.truth.skin_lab[TRUTH_NAME[row.region]] for row in rows]
        read = [lightness_matched(row.lab, lab) for row, lab in zip(rows, bare, strict=True)]
        floor = [lightness_matched(row.true_lab, lab) for row, lab in zip(rows, bare, strict=True)]
        lines.append(
            f"{name:19s} {len(rows):4d}  {np.median(read):5.2f} {np.percentile(read, 95):5.2f}"
            f"  {np.median(floor):5.2f} {np.percentile(floor, 95):5.2f}"
        )
    return lines


def pair_differences(runs: Sequence[Run]) -> list[float]:
    """Return ΔE00 of every region of skin between two accepted photographs of a face by other lights and cameras."""
    scenes: dict[str, list[Run]] = defaultdict(list)
    for run in runs:
        if run.rows:
            scenes[run.truth.scene].append(run)
    found = []
    for taken in scenes.values():
        for one, other in combinations(taken, 2):
            if one.lights != other.lights and one.camera != other.camera:
                there = {row.region: row.lab for row in other.skin}
                found += [float(delta_e_2000(r.lab, there[r.region])) for r in one.skin if r.region in there]
    return found


def pair_targets(differences: Sequence[float]) -> list[Target]:
    """Return what is wanted of two photographs of the same face."""
    return [at_most("one face, two lights and cameras, ΔE00, median", float(np.median(differences)), 2.0)]


def peer_errors(runs: Sequence[Run]) -> dict[str, list[float]]:
    """Return ΔE00 of the skin by ourselves and by each peer, on the same regions of the same photographs."""
    found: dict[str, list[float]] = defaultdict(list)
    for run in runs:
        for row in run.skin:
            if all(row.region in labs for labs in run.peers.values()) and run.peers:
                found["tenter"].append(row.error)
                for name, labs in run.peers.items():
                    found[name].append(float(delta_e_2000(labs[row.region], row.true_lab)))
    return found


def peer_targets(errors: dict[str, list[float]]) -> list[Target]:
    """Return our skin error held to the best peer's."""
    theirs = [some for name, some in errors.items() if name != "tenter"]
    return [
        at_most("skin, ΔE00, median, at most the best peer's", float(np.median(errors["tenter"])), _best(theirs, 50)),
        at_most("the same, 95 of 100", float(np.percentile(errors["tenter"], 95)), _best(theirs, 95)),
    ]


def _best(theirs: Sequence[Sequence[float]], percent: int) -> float:
    return min(float(np.percentile(some, percent)) for some in theirs)
