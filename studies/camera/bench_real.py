"""What becomes of real photographs of a real card: `./run bench real`.

A folder holds photographs and a manifest.json, a list with `file`, `source` and `by_eye` ("accept", or why not) for
each, and `card` where a source has several. Others in the same form: --folder.

Hidden: the dark and the light skin patch, each taken out of the fit, read as skin and held against the published
figure. Inside: L*, a* and b* within their 90 % intervals. Photographs of one card are not independent: shares are
counted by card (mean of a card, then of the cards), and the Wilson interval takes the number of cards for its count.
Repeats: in three photographs or more of one scene, each colour against the mean of the same place in the others.
"""

import argparse
import json
import logging
from collections import defaultdict
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from pathlib import Path

import numpy as np

from studies.camera.real_charts import PHOTOS, RealPhoto, Seen, look, wanted_of
from studies.clients.scoring import wilson
from studies.clients.targets import Target, at_least, at_most
from studies.photo.photo_runs import PROCESSES
from tenter.arrays import FloatArray
from tenter.photo.patches.reference import CardValues

ROOT = Path(__file__).parents[2]
BUILD = ROOT / "build" / "bench"
_SPOILED = ("cut", "covered", "copied")
_LEAST_OF_A_SCENE = 3
_AXES = ("L*", "a*", "b*")


def photo_table(photos: Sequence[RealPhoto]) -> list[str]:
    """Return a line for each photograph."""
    lines = [
        "                      wanted    became     left out   p95   contrast    lift  hidden: ΔE00 ± L*/a*/b*   said"
    ]
    for photo in photos:
        became = "accepted" if photo.accepted else "refused" if photo.found else "not found"
        line = f"{photo.wanted.path.name:21s} {photo.wanted.kind:9s} {became:10s}"
        if photo.errors is not None and photo.tone is not None:
            line += f" {photo.errors.mean():8.2f} {np.percentile(photo.errors, 95):5.2f}"
            line += f"   {photo.tone[0]:8.2f} {photo.tone[1]:7.2f}  "
        line += ", ".join(_hidden_words(one) for one in next(iter(photo.hidden.values()), ()))
        codes = [f"!{code}" for code in photo.refused_for] + list(photo.notes)
        lines.append(f"{line}   {' '.join(codes)}".rstrip())
    return lines


def _hidden_words(seen: Seen) -> str:
    out = "".join(axis for axis, inside in zip("Lab", seen.inside, strict=True) if not inside)
    half = "/".join(f"{h:.1f}" for h in seen.half_width)
    return f"{seen.name.split()[0]} {seen.error:.1f} ±{half}{f' ({out} outside)' if out else ''}"


def hidden_table(photos: Sequence[RealPhoto]) -> list[str]:
    """Return the hidden skin patches by the figures they are held to: of accepted photographs, of all whole cards."""
    named = next((list(photo.hidden) for photo in photos if photo.hidden), [])
    groups = {"accepted": [photo for photo in photos if photo.accepted], "all whole": list(photos)}
    heading = "hidden skin patches             n  cards   ΔE00    p95   L* inside, by card  a*  b*"
    lines = [_hidden_line(f"{which}, {one}", some, one) for which, some in groups.items() for one in named]
    return [heading, *lines]


def _hidden_line(name: str, photos: Sequence[RealPhoto], values: str) -> str:
    seen = [one for photo in photos for one in photo.hidden.get(values, ())]
    if not seen:
        return f"{name:28s}    0"
    errors, cards = [one.error for one in seen], _by_card(photos, values)
    told = []
    for share in _share_by_card(cards):
        low, high = wilson(float(share) * len(cards), len(cards))
        told.append(f"{share:.2f} ({low:.2f}-{high:.2f})")
    middle = f"{np.median(errors):6.2f} {np.percentile(errors, 95):6.2f}"
    return f"{name:28s} {len(seen):4d} {len(cards):6d} {middle}   {'  '.join(told)}"


def _by_card(photos: Sequence[RealPhoto], values: str) -> dict[str, list[Seen]]:
    cards: dict[str, list[Seen]] = defaultdict(list)
    for photo in photos:
        if seen := photo.hidden.get(values, ()):
            cards[photo.wanted.card] += seen
    return cards


def _share_by_card(cards: dict[str, list[Seen]]) -> FloatArray:
    """Return how often L*, a*, b* (3,) are inside: the mean of a card's, then of the cards'."""
    shares: FloatArray = np.mean([np.mean([one.inside for one in some], axis=0) for some in cards.values()], axis=0)
    return shares


def repeats(photos: Sequence[RealPhoto]) -> dict[str, list[Seen]]:
    """Return every colour of every scene with what the same place has in the scene's other photographs."""
    scenes: dict[tuple[str, str], list[RealPhoto]] = defaultdict(list)
    for photo in photos:
        if photo.places:
            scenes[photo.wanted.card, photo.wanted.scene].append(photo)
    found: dict[str, list[Seen]] = defaultdict(list)
    for (_, scene), some in scenes.items():
        if len(some) >= _LEAST_OF_A_SCENE:
            for name in dict.fromkeys(place.name for photo in some for place in photo.places):
                same = [place for photo in some for place in photo.places if place.name == name]
                found[f"{scene}, {'paper' if name.startswith('paper') else 'patches'}"] += _against_others(same)
    return found


def _against_others(same: Sequence[Seen]) -> list[Seen]:
    if len(same) < _LEAST_OF_A_SCENE:
        return []
    labs = np.array([one.lab for one in same])
    others = (labs.sum(axis=0) - labs) / (len(same) - 1)
    return [Seen(one.name, one.lab, one.half_width, other) for one, other in zip(same, others, strict=True)]


def repeat_table(found: dict[str, list[Seen]]) -> list[str]:
    lines = ["the same places repeat          n   ΔE00    p95   inside L*   a*   b*     ± L*  a*  b*"]
    for name, seen in found.items():
        errors, inside = [one.error for one in seen], np.mean([one.inside for one in seen], axis=0)
        half = np.median([one.half_width for one in seen], axis=0)
        lines.append(
            f"{name:29s} {len(seen):4d} {np.median(errors):6.2f} {np.percentile(errors, 95):6.2f}"
            f"        {inside[0]:.2f} {inside[1]:.2f} {inside[2]:.2f}   {half[0]:4.1f} {half[1]:3.1f} {half[2]:3.1f}"
        )
    return lines


def targets_of(photos: Sequence[RealPhoto], values: str) -> list[Target]:
    """Return what is wanted: whole cards accepted and the others refused, one never without the other."""
    whole = [p for p in photos if p.wanted.kind == "whole" and not p.clipped]
    spoiled = [p for p in photos if p.wanted.kind in _SPOILED]
    refused = sum(not photo.accepted for photo in whole)
    targets = [at_most(f"whole, genuine, unclipped cards refused, of {len(whole)}", refused, len(whole) // 12)]
    for kind in _SPOILED:
        some = [p for p in spoiled if p.wanted.kind == kind]
        if some:
            targets.append(at_most(f"{kind} cards accepted, of {len(some)}", sum(p.accepted for p in some), 0))
    accepted = [p for p in whole if p.accepted]
    errors = [one.error for p in accepted for one in p.hidden.get(values, ())]
    targets.append(at_most("hidden skin patch, ΔE00, median", float(np.median(errors)) if errors else None, 1.8))
    shares = _share_by_card(_by_card(accepted, values)) if errors else [None] * 3
    for axis, share in zip(("L*", "a*", "b*"), shares, strict=True):
        targets.append(
            at_least(f"the same, {axis} inside, by card", None if share is None else 100 * float(share), 85, "%")
        )
    for name, seen in repeats(accepted).items():
        inside = 100 * np.mean([one.inside for one in seen], axis=0)
        targets += [
            at_least(f"{name} repeat, {axis} inside", float(share), 85, "%")
            for axis, share in zip(_AXES, inside, strict=True)
        ]
    return targets


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n", maxsplit=1)[0])
    parser.add_argument("--folder", type=Path, default=PHOTOS, help="photographs beside a manifest.json")
    parser.add_argument("--card-values", type=CardValues, choices=list(CardValues), default=CardValues.MEAN_OF_30)
    given = parser.parse_args()
    logging.disable(logging.CRITICAL)
    with ProcessPoolExecutor(PROCESSES) as pool:
        photos = list(pool.map(partial(look, values=given.card_values), wanted_of(given.folder)))
    tables = (photo_table(photos), hidden_table(photos), repeat_table(repeats(photos)))
    targets = targets_of(photos, str(given.card_values))
    print("\n\n".join("\n".join(table) for table in tables))
    print("", *targets, sep="\n")
    BUILD.mkdir(parents=True, exist_ok=True)
    (BUILD / "real.json").write_text(json.dumps([t.plain() for t in targets], indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
