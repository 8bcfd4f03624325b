"""Speed and memory of the verdict on one core; run on its own, it prints its numbers as JSON."""

import json
import os
import resource
import sys
import time
from collections.abc import Callable

os.environ["OMP_NUM_THREADS"] = "1"

import numpy as np

from studies.clients.baselines import same_family_pairs
from studies.clients.trials import Setting, client_judge, sitting_after, study_kit, study_method
from tenter import Sitting
from tenter.arrays import IntArray
from tenter.consultation.laid_out.bench import bench_of
from tenter.consultation.reading.phases import classes, deciding
from tenter.consultation.reading.plan import Planner

_SMALL, _LARGE = Setting("speed"), Setting("speed", kit="simulated 1000")
_REPEATS, _SITTINGS = 7, 7


def use_one_core() -> None:
    """Bind this process to one core, where the system can."""
    if hasattr(os, "sched_setaffinity"):
        os.sched_setaffinity(0, {min(os.sched_getaffinity(0))})


def milliseconds(work: Callable[[], object], repeats: int = _REPEATS) -> float:
    """Return the median time of a call after a first one."""
    work()
    times = []
    for _ in range(repeats):
        started = time.perf_counter()
        work()
        times.append(time.perf_counter() - started)
    return 1000 * float(np.median(times))


def peak_mb() -> float:
    """Return the most memory that this process has held, in MB of 10⁶ bytes."""
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return peak * (1 if sys.platform == "darwin" else 1024) / 1e6


def update_and_propose(seed: int) -> tuple[float, float]:
    """Return the median time of recording an answer and of proposing the next pair over three sittings of thirty."""
    recorded, proposed = [], []
    for index in range(3):
        judge = client_judge(_SMALL, index, seed)
        sitting = Sitting(judge.bench.kit, judge.bench.method, seed=index)
        for _ in range(30):
            started = time.perf_counter()
            pair = sitting.propose()
            proposed.append(time.perf_counter() - started)
            answer = judge.judge(*pair)
            started = time.perf_counter()
            sitting.record(answer)
            recorded.append(time.perf_counter() - started)
    return 1000 * float(np.median(recorded)), 1000 * float(np.median(proposed))


def verdict_time(seed: int, entries: int) -> float:
    """Return the median time of the first verdict, with its reasons, of sittings just recorded, in ms."""
    times = []
    for index in range(5):
        done = sitting_after(_SMALL, index, seed, entries)
        fresh = Sitting(done.kit, done.method, seed=seed).record_all(e.judgement for e in done.entries)
        started = time.perf_counter()
        fresh.verdict()
        times.append(time.perf_counter() - started)
    return 1000 * float(np.median(times))


def processor_ms(work: Callable[[], object]) -> float:
    """Return the processor time of one call: what else runs on the machine adds little to it."""
    started = time.process_time()
    work()
    return 1000 * (time.process_time() - started)


def against_peer(peer_step: Callable[[], object], seed: int) -> dict[str, float]:
    """Return processor times in ms of a peer's step and of Tenter's own work, and how they compare.

    The peer's step is timed beside each piece of work, so that both meet the same machine. "record_and_next" is one
    answer taken in with the next pair found; a verdict is the first of a sitting just recorded, with its reasons.
    """
    peer: list[float] = []
    steps: list[float] = []
    verdicts: dict[int, list[float]] = {20: [], 40: []}
    peer_step()
    for index in range(_SITTINGS):
        done = sitting_after(_SMALL, index, seed, max(verdicts))
        judgements = [entry.judgement for entry in done.entries]
        replay = Sitting(done.kit, done.method, seed=seed + index)
        for count, judgement in enumerate(judgements, 1):
            steps.append(processor_ms(lambda: (replay.record(judgement), replay.propose())))  # noqa: B023  # at once
            if count in verdicts:
                fresh = Sitting(done.kit, done.method, seed=seed).record_all(judgements[:count])
                verdicts[count].append(processor_ms(fresh.verdict))
                peer.append(processor_ms(peer_step))
    found = {"peer_ms": float(np.median(peer)), "record_and_next_ms": float(np.median(steps))}
    found |= {f"verdict_{n}_ms": float(np.median(times)) for n, times in verdicts.items()}
    found["steps_to_one_of_peer"] = found["peer_ms"] / found["record_and_next_ms"]
    return found | {f"verdict_{n}_share": found[f"verdict_{n}_ms"] / found["peer_ms"] for n in verdicts}


def next_time(setting: Setting, seed: int, pairs: IntArray | None, repeats: int = _REPEATS) -> float:
    """Return the time of ranking pairs (all of the kit when None) in a sitting after twelve comparisons, in ms."""
    sitting = sitting_after(setting, 0, seed, 12)
    if pairs is None:
        pairs = np.stack(np.triu_indices(len(sitting.kit), 1), axis=1)
    frame, posterior = sitting.planning_frame, sitting.planning_posterior
    membership = classes(frame, deciding(sitting.method, sitting.phase), posterior)
    return milliseconds(lambda: Planner(sitting.bench).information(frame, posterior, membership, pairs), repeats)


def measure(seed: int) -> dict[str, float]:
    """Return every time in ms, and memory in MB."""
    study_kit(_SMALL.kit, seed)
    found = {"load_average_before": os.getloadavg()[0]}
    found["update_ms"], found["propose_200_ms"] = update_and_propose(seed)
    found["verdict_20_ms"] = verdict_time(seed, 20)
    found["verdict_40_ms"] = verdict_time(seed, 40)
    found["peak_sitting_mb"] = peak_mb()
    found["next_200_all_ms"] = next_time(_SMALL, seed, None)
    found["peak_200_all_mb"] = peak_mb()
    large = bench_of(study_kit(_LARGE.kit, seed), study_method())
    found["next_1000_family_pairs"] = float(len(same_family_pairs(large)))
    found["next_1000_family_ms"] = next_time(_LARGE, seed, same_family_pairs(large), 5)
    found["peak_1000_family_mb"] = peak_mb()
    found["next_1000_all_ms"] = next_time(_LARGE, seed, None, 3)
    found["peak_mb"] = peak_mb()
    return found


if __name__ == "__main__":
    use_one_core()
    print(json.dumps(measure(int(sys.argv[1]))))
