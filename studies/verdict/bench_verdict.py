"""How right, how honest and how fast the verdict is, on simulated clients: `./run bench verdict`.

Prints plain tables, with a pass or fail beside every number wanted, and writes build/bench/verdict.json,
verdict-accuracy.png and verdict-reliability.png. docs/studies/verdict-study.md says what each number means. The numbers
depend on the seed and the sizes, not on the number of processes; times depend on the machine.
"""

import os

os.environ["OMP_NUM_THREADS"] = "1"

import argparse
import json
import platform
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import asdict
from itertools import chain
from pathlib import Path
from typing import Any

import numpy as np
from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeElapsedColumn, TimeRemainingColumn

from studies.clients.figures import accuracy_figure, reliability_figure
from studies.clients.targets import Target, at_least, at_most
from studies.clients.trials import Setting, in_parallel, prepare
from studies.verdict.accuracy import DEMO, MAIN, SETTINGS, Accuracy, curves, reliability_rows
from studies.verdict.analysts import (
    ARMS,
    EARLIER,
    EYES,
    SETTING,
    analysts_table,
    analysts_targets,
    earlier_sitting,
    known,
    known_client,
    learned_from,
)
from studies.verdict.doubts import Habit, doubted, doubts_table, doubts_targets
from studies.verdict.extra_cloths import Cloth, information_of_pairs, most_helpful
from studies.verdict.peers import peer_lines
from studies.verdict.plain_world import POPULATIONS, plain_client, plain_scores, plain_table, plain_targets
from studies.verdict.reason_words import KITS, words_of, words_table, words_targets
from studies.verdict.reference import NODES, largest_difference
from studies.verdict.regret import CLOSE, Regret, regret
from studies.verdict.slips import planted, slips_table, slips_targets
from studies.verdict.stops import Whom, stopped, stops_table, stops_targets
from tenter.consultation.reading.phases import DONE

BUILD = Path(__file__).parents[2] / "build" / "bench"
PARTS = ("accuracy", "plain", "words", "doubts", "stops", "slips", "analyst", "cloths", "reference", "regret", "speed")
_PROGRESS = Progress(
    TextColumn("{task.description:18s}"),
    BarColumn(),
    MofNCompleteColumn(),
    TimeElapsedColumn(),
    TimeRemainingColumn(),
    console=Console(stderr=True),
)


def arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n", maxsplit=1)[0])
    parser.add_argument("--clients", type=int, default=500, help="of the main setting and the baselines")
    parser.add_argument("--others", type=int, default=200, help="clients of every other setting")
    parser.add_argument("--plain", type=int, default=600, help="clients of each of two populations in the plain world")
    parser.add_argument("--processes", type=int, default=2)
    parser.add_argument("--seed", type=int, default=5)
    parser.add_argument("--reference", type=int, default=20, help="sittings held against slow quadrature")
    parser.add_argument("--regret", type=int, default=40, help="proposals held against exact information")
    parser.add_argument("--cloths", type=int, default=40, help="sittings for the choice of further cloths")
    parser.add_argument("--words", type=int, default=120, help="sittings whose reasons are read, a third on each kit")
    parser.add_argument("--doubts", type=int, default=60, help="sittings of each habit of an analyst")
    parser.add_argument("--known", type=int, default=100, help="clients of each analyst who has sat before")
    parser.add_argument("--stops", type=int, default=200, help="sittings of each kind of client, each until finished")
    parser.add_argument("--slips", type=int, default=200, help="sittings with one answer turned round")
    parser.add_argument("--parts", nargs="+", choices=PARTS, default=PARTS)
    return parser.parse_args()


@contextmanager
def bar(name: str, total: int) -> Iterator[Any]:
    """Show progress and give a function that moves it on by one."""
    task = _PROGRESS.add_task(name, total=total)
    yield lambda: _PROGRESS.advance(task)


def run_all(name: str, work: Any, jobs: list[tuple[Any, ...]], processes: int) -> list[Any]:
    """Return the results of jobs under a progress bar."""
    results = []
    with bar(name, len(jobs)) as advance:
        for result in in_parallel(work, jobs, processes):
            results.append(result)
            advance()
    return results


def study_accuracy(options: argparse.Namespace, report: dict[str, Any]) -> list[Target]:
    sizes = {s.name: options.clients if s is MAIN else options.others for s in SETTINGS}
    with bar("sittings", sum(sizes.values())) as advance:
        accuracy = Accuracy(sizes, options.seed, options.processes, advance)
    report["accuracy"] = accuracy.plain()
    accuracy_figure(curves(accuracy), accuracy.ceilings[MAIN.name], options.clients, BUILD / "verdict-accuracy.png")
    reliability_figure(reliability_rows(accuracy), BUILD / "verdict-reliability.png")
    print("\n".join(accuracy.table()))
    return accuracy.targets()


def study_plain(options: argparse.Namespace, report: dict[str, Any]) -> list[Target]:
    prepare([Setting(one.name, one.kit) for one in POPULATIONS], options.seed)
    clients = {}
    for one in POPULATIONS:
        jobs = [(one, i, options.seed) for i in range(options.plain)]
        clients[one.name] = run_all("plain world", plain_client, jobs, options.processes)
    found = plain_scores(clients, options.seed)
    report["plain"] = {one.name: one.plain() for one in found}
    print("\n".join(plain_table(found)))
    return plain_targets(found)


def study_words(options: argparse.Namespace, report: dict[str, Any]) -> list[Target]:
    prepare([Setting("words", kit) for kit in KITS], options.seed)
    jobs = [(KITS[i % len(KITS)], i, options.seed) for i in range(options.words)]
    words = list(chain.from_iterable(run_all("words", words_of, jobs, options.processes)))
    report["words"] = [asdict(word) for word in words]
    print("\n".join(words_table(words)))
    return words_targets(words)


def study_doubts(options: argparse.Namespace, report: dict[str, Any]) -> list[Target]:
    prepare([DEMO], options.seed)
    jobs = [(habit, i, options.seed) for habit in Habit for i in range(options.doubts)]
    found = [one for one in run_all("doubts", doubted, jobs, options.processes) if one is not None]
    report["doubts"] = [asdict(one) for one in found]
    print("\n".join(doubts_table(found)))
    return doubts_targets(found)


def study_analyst(options: argparse.Namespace, report: dict[str, Any]) -> list[Target]:
    prepare([SETTING], options.seed)
    learned, clients = {}, {}
    for eyes in EYES:
        earlier = [(eyes, i, options.seed) for i in range(EARLIER)]
        learned[eyes.name] = learned_from(run_all(f"{eyes.name}, earlier", earlier_sitting, earlier, options.processes))
        styles = learned[eyes.name].styles
        jobs = [(eyes, styles, i, options.seed) for i in range(options.known)]
        clients[eyes.name] = run_all(f"{eyes.name}, known", known_client, jobs, options.processes)
    report["analyst"] = {name: {arm: known(some, arm).plain() for arm in ARMS} for name, some in clients.items()}
    print("\n".join(analysts_table(learned, clients)))
    return analysts_targets(clients)


def study_stops(options: argparse.Namespace, report: dict[str, Any]) -> list[Target]:
    prepare([DEMO, MAIN], options.seed)
    jobs = [(whom, i, options.seed) for whom in Whom for i in range(options.stops)]
    found = run_all("stops", stopped, jobs, options.processes)
    report["stops"] = [asdict(one) for one in found]
    print("\n".join(stops_table(found)))
    return stops_targets(found)


def study_slips(options: argparse.Namespace, report: dict[str, Any]) -> list[Target]:
    prepare([DEMO], options.seed)
    jobs = [(i, options.seed) for i in range(options.slips)]
    found = [one for one in run_all("slips", planted, jobs, options.processes) if one is not None]
    report["slips"] = [{"told": one.told.tolist(), "known": one.known.tolist()} for one in found]
    print("\n".join(slips_table(found)))
    return slips_targets(found)


def study_cloths(options: argparse.Namespace, report: dict[str, Any]) -> list[Target]:
    prepare([DEMO], options.seed)
    jobs = [(DEMO, i, options.seed) for i in range(options.cloths)]
    information = run_all("further cloths", information_of_pairs, jobs, options.processes)
    cloths: list[Cloth] = most_helpful(DEMO, options.seed, information)
    report["further_cloths"] = [{"lab": c.lab, "words": c.words, "gain_nats": c.gain, "share": c.share} for c in cloths]
    print("\nFURTHER CLOTHS for the demo kit: mean gain in information about the sub-season of the best next")
    print("pair after 12 comparisons, each with the ones above it already bought (share: of what the kit has)")
    for cloth in cloths:
        L, a, b = cloth.lab
        print(f"  L* {L:5.1f}  a* {a:6.1f}  b* {b:6.1f}   +{cloth.gain:.4f} nats ({cloth.share:5.1%})   {cloth.words}")
    return []


def study_reference(options: argparse.Namespace, report: dict[str, Any]) -> list[Target]:
    prepare([MAIN], options.seed)
    jobs = [(MAIN, i, options.seed) for i in range(options.reference)]
    rows = run_all("exact reference", largest_difference, jobs, options.processes)
    most, mean = max(r[1] for r in rows), float(np.mean([r[2] for r in rows]))
    report["reference"] = {"nodes": NODES, "max": most, "mean": mean}
    report["reference"]["sittings"] = [{"entries": n, "max": top, "mean": middle} for n, top, middle in rows]
    sizes = [r[0] for r in rows]
    print(f"\nEXACT REFERENCE, {len(rows)} sittings of {min(sizes)} to {max(sizes)} mixed entries, {NODES}³ nodes:")
    print(f"|difference| of a sub-season's probability at most {most:.5f}, mean {mean:.5f}")
    return [at_most("probability away from the exact one, at most", most, 0.005)]


def study_regret(options: argparse.Namespace, report: dict[str, Any]) -> list[Target]:
    prepare([MAIN], options.seed)
    rows: list[Regret] = run_all(
        "planner regret", regret, [(MAIN, i, options.seed) for i in range(options.regret)], options.processes
    )
    percent = np.array([r.percent for r in rows])
    report["regret"] = [{"percent": r.percent, **{k: getattr(r, k) for k in r.__slots__}} for r in rows]
    print(
        f"\nPLANNER REGRET, {len(rows)} proposals against the exact information of the {CLOSE} pairs best by the quick"
    )
    print("figure and 200 others at random, in percent; and in nats")
    for phase in dict.fromkeys(r.phase for r in rows):
        own = [r for r in rows if r.phase == phase]
        lost = [r.best - r.proposed for r in own]
        print(
            f"  {phase:11s} n {len(own):2d}  mean {np.mean([r.percent for r in own]):5.2f} %  "
            f"max {max(r.percent for r in own):5.2f} %   best pair {np.mean([r.best for r in own]):.4f} nats, "
            f"lost {np.mean(lost):.4f} on average, at most {max(lost):.4f}"
        )
    over = np.array([r.phase == DONE for r in rows])
    print(f"  all         n {len(rows):2d}  mean {percent.mean():5.2f} %  max {percent.max():5.2f} %")
    return [
        at_most("information lost by the proposed pair, mean", float(percent.mean()), 1.5, "%"),
        at_most("information lost by the proposed pair, most", float(percent.max()), 7, "%"),
        at_most("the same while a phase is open, mean", float(percent[~over].mean()), 1.5, "%"),
        at_most("the same while a phase is open, most", float(percent[~over].max()), 7, "%"),
    ]


def study_speed(options: argparse.Namespace, report: dict[str, Any]) -> list[Target]:
    with bar("speed, peers", 3) as advance:
        found = _alone("speed", options.seed)
        advance()
        peers = {}
        for peer in ("adopy", "choix"):
            peers[peer] = _alone("peers", options.seed, peer)
            advance()
    report["speed"], report["peers"] = found, peers
    if "failed" in found:
        print(f"\nSPEED could not be measured: {found['failed']}")
        return [at_most("peak memory, sittings and verdicts on 200 cloths", None, 300, "MB")]
    print("\nSPEED AND MEMORY on one core (medians)")
    for name, value in found.items():
        print(f"  {name:24s} {value:10.1f}")
    print("\n".join(peer_lines(peers)))
    ratios = peers["adopy"].get("ratios", {})
    return [
        at_least("record with next pair: how many in one step of adopy", ratios.get("steps_to_one_of_peer"), 40),
        at_most("verdict with reasons, 20 entries, in steps of adopy", ratios.get("verdict_20_share"), 0.4),
        at_most("verdict with reasons, 40 entries, in steps of adopy", ratios.get("verdict_40_share"), 0.67),
        at_most("peak memory, sittings and verdicts on 200 cloths", found["peak_sitting_mb"], 300, "MB"),
    ]


def _alone(script: str, *rest: object) -> dict[str, Any]:
    """Run a module of this folder by itself, with its own memory and core, and read its numbers."""
    command = [sys.executable, "-m", f"studies.verdict.{script}", *map(str, rest)]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    if done.returncode:
        last = done.stderr.strip().splitlines()[-1:] or ["no message"]
        return {"failed": f"{script} {' '.join(map(str, rest))} stopped: {last[0]}"}
    numbers: dict[str, Any] = json.loads(done.stdout)
    return numbers


def _finite(value: Any) -> Any:
    """Return a value fit for JSON: tuples as lists, and None where there was nothing to count."""
    if isinstance(value, dict):
        return {k: _finite(v) for k, v in value.items()}
    if isinstance(value, list | tuple):
        return [_finite(v) for v in value]
    return None if isinstance(value, float) and not np.isfinite(value) else value


def main() -> None:
    options = arguments()
    BUILD.mkdir(parents=True, exist_ok=True)
    started = time.perf_counter()
    report: dict[str, Any] = {
        "options": vars(options),
        "seeds": "client i of a setting draws from [seed, population, i, ...]; see studies/clients/trials.py",
        "python": platform.python_version(),
        "numpy": np.__version__,
        "machine": platform.machine(),
    }
    studies = {
        "accuracy": study_accuracy,
        "plain": study_plain,
        "words": study_words,
        "doubts": study_doubts,
        "analyst": study_analyst,
        "stops": study_stops,
        "slips": study_slips,
        "cloths": study_cloths,
        "reference": study_reference,
        "regret": study_regret,
        "speed": study_speed,
    }
    targets: list[Target] = []
    with _PROGRESS:
        for part, study in studies.items():
            if part in options.parts:
                targets += study(options, report)
    report["targets"] = [t.plain() for t in targets]
    report["seconds"] = time.perf_counter() - started
    print("\nNUMBERS WANTED")
    print("\n".join(str(t) for t in targets))
    (BUILD / "verdict.json").write_text(json.dumps(_finite(report), indent=1) + "\n", encoding="utf-8")
    print(f"\n{report['seconds']:.0f} s; build/bench/verdict.json and two figures beside it", file=sys.stderr)


if __name__ == "__main__":
    main()
