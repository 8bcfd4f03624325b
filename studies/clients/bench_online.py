"""How far the odds of a client known by photographs alone can be trusted: `./run bench online`.

Simulated clients of the verdict study, judged along the plan on photographs instead of cloth. Every photograph shows
cloth and face with the errors of `./run bench photo`, and a screen adds its own; the model reads the answers as it
reads every photograph, at half weight. Prints how often a stated probability is right and the highest cap that holds:
docs/studies/online-study.md says what follows. The numbers depend on the seed and the sizes, not on the number of
processes.
"""

import os

os.environ["OMP_NUM_THREADS"] = "1"

import argparse
import json
from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from studies.clients.scoring import Share, reliability
from studies.clients.simulation import Judge, World
from studies.clients.trials import Setting, client_judge, in_parallel, prepare, study_method
from tenter import Kit, NothingToPropose, Sitting
from tenter.arrays import FloatArray
from tenter.consultation.laid_out.bench import Bench
from tenter.consultation.words.answers import View

BUILD = Path(__file__).parents[2] / "build" / "bench"
READ_AT = (10, 20, 30)
CAPS = tuple(round(0.30 + 0.01 * i, 2) for i in range(70))
LEAST = 20  # sittings that reach a cap, for it to be judged
# Standard deviations of L*, a*, b* of a colour read from a photograph with a card: the median 90 % half-widths that
# `./run bench photo` prints (2.2, 1.4, 2.2), which cover nine in ten, by 1.645.
CARDED = (1.3, 0.9, 1.3)
# Without a card: a mean ΔE00 of about 7, what phone pictures of a card showed before any correction.
AS_IT_CAME = (4.5, 3.5, 5.0)
_MEAN_SKIN = np.array([65.0, 14.0, 18.0])  # of the NIST forearms, D65/10°, a face being a little redder
# hue of a skin to bench units of undertone: the spread that consultation/client/face_prior.py names
_DEGREES_A_UNIT = 6.0


@dataclass(frozen=True, slots=True)
class Way:
    """A way of working by photographs.

    photo: sd of L*, a*, b* of each photograph. screen: the same of what the screen adds to all of them, and sd of the
    log of its chroma. noise: by how much judging is less sure than on cloth, as the light that a cloth throws on a
    face is lost in a photograph's error. Screen and noise are assumptions without a source.
    """

    name: str
    photo: tuple[float, float, float]
    screen: tuple[float, float, float]
    chroma: float
    noise: float

    @property
    def carded(self) -> bool:
        return self.photo == CARDED


STUDIO = Way("cloth, in the studio", (0, 0, 0), (0, 0, 0), 0.0, 1.0)
WAYS = (
    Way("card, measured screen", CARDED, (0.5, 0.5, 0.5), 0.02, 1.25),
    Way("card, screen as bought", CARDED, (2.5, 2.0, 3.0), 0.10, 1.5),
    Way("no card, screen as bought", AS_IT_CAME, (2.5, 2.0, 3.0), 0.10, 1.5),
)


@dataclass(frozen=True, slots=True)
class Told:
    """What one sitting stated after each reading, and whether it was right: sub-season, then season; (readings, 2)."""

    stated: FloatArray
    right: FloatArray

    def of(self, column: int) -> FloatArray:
        """Return what was stated and whether it was right, (2, readings), of sub-season (0) or season (1)."""
        return np.stack([self.stated[:, column], self.right[:, column]])


def through_photographs(judge: Judge, way: Way, rng: np.random.Generator) -> Judge:
    """Return the judge who sees every cloth of the kit on a photograph of its own, beside a face that is as far off."""
    bench = judge.bench
    lab = bench.kit.bench_colours.lab
    screen = rng.normal(0, 1, 3) * way.screen
    seen = lab + rng.normal(0, 1, lab.shape) * way.photo + screen
    seen[:, 1:] *= np.exp(rng.normal(0, way.chroma)) if way.chroma else 1.0
    seen[:, 0] = np.clip(seen[:, 0], 5, 98)
    face = rng.normal(0, 1, lab.shape) * way.photo + screen
    return replace(
        judge, coordinates=_coordinates(bench, seen) - _face_moved(bench, face), sigma=judge.sigma * way.noise
    )


def _coordinates(bench: Bench, lab: FloatArray) -> FloatArray:
    """Return bench coordinates of a kit's cloths, were their colours these."""
    kit = Kit.from_lab(bench.kit.ids, lab, bench.kit.hue_families)
    return bench.method.coordinates(kit)


def _face_moved(bench: Bench, error: FloatArray) -> FloatArray:
    """Return how far an error (n, 3) of the skin's colour moves the client's ideal, in bench units (n, 3)."""
    a, b = _MEAN_SKIN[1:]
    chroma = np.hypot(a, b)
    turned = np.degrees((a * error[:, 2] - b * error[:, 1]) / chroma**2)
    fuller = (a * error[:, 1] + b * error[:, 2]) / chroma
    method = bench.method
    return np.stack(
        [turned / _DEGREES_A_UNIT, error[:, 0] / method.depth_scale.unit, fuller / method.clarity_scale.unit], axis=1
    )


def run_client(way: Way, setting: Setting, index: int, seed: int) -> Told:
    """Simulate one client known by photographs alone."""
    judge = client_judge(setting, index, seed)
    view = View.ALTERNATE
    if way is not STUDIO and way.name != STUDIO.name:
        judge, view = through_photographs(judge, way, np.random.default_rng([seed, index, 7])), View.PHOTOGRAPH
    method = judge.bench.method
    truth = method.category_at(judge.theta)
    sitting = Sitting(judge.bench.kit, method, seed=seed + index)
    stated, right = [], []
    for n in range(1, READ_AT[-1] + 1):
        with suppress(NothingToPropose):  # when the kit is exhausted what is known stays as it is
            sitting.record(replace(judge.judge(*sitting.propose()), view=view))
        if n in READ_AT:
            told = (sitting.probabilities(), sitting.season_probabilities())
            best = [max(p, key=lambda c, p=p: p[c]) for p in told]
            stated.append([p[c] for p, c in zip(told, best, strict=True)])
            right.append([best[0] == truth, best[1] == method.season_of[truth]])
    return Told(np.array(stated), np.array(right, dtype=float))


def highest_cap(stated: FloatArray, right: FloatArray) -> float | None:
    """Return the highest cap that holds, and every lower one too; None for none.

    A cap holds when of the sittings that reach it at least that share is right; fewer than `LEAST` tell nothing.
    """
    held = None
    for cap in CAPS:
        reaching = stated >= cap
        if reaching.sum() < LEAST or right[reaching].mean() < cap:
            return held
        held = cap
    return held


def lines_of(way: Way, told: Sequence[Told]) -> list[str]:
    """Return the table of one way of working."""
    stated, right = np.stack([t.stated for t in told]), np.stack([t.right for t in told])
    lines = ["", f"{way.name}  (n = {len(told)})"]
    for row, n in enumerate(READ_AT):
        for column, what in enumerate(("sub-season", "season")):
            p, hit = stated[:, row, column], right[:, row, column]
            cap = highest_cap(p, hit)
            firm = Share.of(hit[p >= 0.9] > 0)
            bins = "  ".join(f"{b['stated']:.2f}:{b['right']:.2f} ({b['count']})" for b in reliability(p, hit > 0))
            lines.append(
                f"  {n:2d} {what:10s} right {Share.of(hit > 0)!s:20s} stated {p.mean():.3f}  "
                f"stated ≥ 0.90 right {firm!s:20s} cap that holds {'none' if cap is None else f'{cap:.2f}'}"
            )
            lines.append(f"       stated:right (n)  {bins}")
    return lines


def supported(found: Mapping[Way, Sequence[Told]]) -> list[str]:
    """Return the highest caps that hold with a card, and without one, whatever the screen."""
    lines = ["", "highest cap that holds: after every count (and with the counts together)"]
    for title, carded in (("with a card", True), ("without a card", False)):
        caps = []
        for column in (0, 1):
            ways = [np.stack([t.of(column) for t in told]) for way, told in found.items() if way.carded is carded]
            each = [highest_cap(w[:, 0, n], w[:, 1, n]) or 0.0 for w in ways for n in range(len(READ_AT))]
            whole = [highest_cap(w[:, 0].ravel(), w[:, 1].ravel()) or 0.0 for w in ways]
            caps.append(f"{min(each):.2f} ({min(whole):.2f})")
        lines.append(f"  {title:15s} sub-season {caps[0]}, season {caps[1]}")
    return lines


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n", maxsplit=1)[0])
    parser.add_argument("--clients", type=int, default=200, help="of every way of working")
    parser.add_argument("--processes", type=int, default=2)
    parser.add_argument("--seed", type=int, default=5)
    given = parser.parse_args()
    setting = Setting("online", world=World.AS_MODELLED)
    prepare([setting], given.seed)
    ways = (STUDIO, *WAYS)
    jobs = [(way, setting, i, given.seed) for way in ways for i in range(given.clients)]
    found: dict[str, list[Told]] = {way.name: [] for way in ways}
    for (way, *_), told in zip(jobs, in_parallel(run_client, jobs, given.processes), strict=True):
        assert isinstance(told, Told)
        found[way.name].append(told)
    print(f"KNOWN BY PHOTOGRAPHS ALONE: {given.clients} clients a way of working, method {study_method().name}")
    for way in ways:
        print("\n".join(lines_of(way, found[way.name])))
    print("\n".join(supported({way: found[way.name] for way in WAYS})))
    BUILD.mkdir(parents=True, exist_ok=True)
    plain = {name: {"stated": [t.stated.tolist() for t in told], "right": [t.right.tolist() for t in told]}
             for name, told in found.items()}  # fmt: skip
    (BUILD / "online.json").write_text(json.dumps({"seed": given.seed, "ways": plain}))


if __name__ == "__main__":
    main()
