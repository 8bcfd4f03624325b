"""Simulated sittings: the same clients judged along the plan, a fixed sequence and random pairs."""

import zlib
from collections.abc import Callable, Iterable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace
from functools import lru_cache
from multiprocessing import get_context

import numpy as np

from studies.clients.baselines import FIXED_LENGTH, fixed_sequence, random_pairs, vote_checkpoints
from studies.clients.simulation import Judge, World, border_distance, simulated_clients, simulated_judge, simulated_kit
from tenter import Kit, Method, NothingToPropose, PairJudgement, Sitting
from tenter.arrays import FloatArray
from tenter.consultation.laid_out.bench import bench_of

READ_AT = (5, 8, 10, 12, 15, 20, 25, 30)
LAST = 30
FIRM = 0.9
_SCREEN = 0.75  # below this on the coarse lattice, the stated probability is not asked whether it has reached 90 %


@dataclass(frozen=True, slots=True)
class Setting:
    """One row of the study. `spread` None is a client anywhere in the space; `arms` beside the plan are baselines."""

    name: str
    kit: str = "simulated 200"
    world: World = World.AS_MODELLED
    spread: float | None = 0.45
    baselines: bool = False


@dataclass(frozen=True, slots=True)
class Outcome:
    """One sitting read after `at` comparisons: `probabilities` (len(at), k) of each category.

    `reached` is the comparison at which a category was first stated at 90 % or more, None if none was, and
    `right_then` whether it was the right one, `stated_then` at how much. `pairs` is how many pairs were judged; the kit
    may run out of them.
    """

    at: tuple[int, ...]
    probabilities: FloatArray
    reached: int | None
    right_then: bool
    pairs: int
    stated_then: float | None = None


@dataclass(frozen=True, slots=True)
class Client:
    """One client's truth, and what each arm of the study said of it."""

    theta: FloatArray
    truth: str
    border: float
    sigma: float
    arms: dict[str, Outcome]


@lru_cache(maxsize=4)
def study_method() -> Method:
    """Return the method that the study reads under."""
    return Method.bundled()


@lru_cache(maxsize=4)
def study_kit(name: str, seed: int) -> Kit:
    """Return a kit by its name in the study: "demo", or "simulated" and the number of cloths."""
    if name == "demo":
        return Kit.demo()
    count = int(name.split()[1])
    return simulated_kit(count, np.random.default_rng([seed, count]))


def client_judge(setting: Setting, index: int, seed: int) -> Judge:
    """Return the judge of one client; the client is the same in every setting with the same spread."""
    method, kit = study_method(), study_kit(setting.kit, seed)
    population = 0 if setting.spread is not None else 1
    theta = simulated_clients(method, 1, np.random.default_rng([seed, population, index, 0]), setting.spread)[0]
    return simulated_judge(kit, method, setting.world, theta, np.random.default_rng([seed, population, index, 1]))


def run_client(setting: Setting, index: int, seed: int) -> Client:
    """Simulate one client in one setting."""
    judge = client_judge(setting, index, seed)
    method = judge.bench.method
    truth = method.category_at(judge.theta)

    def answering(arm: str) -> Judge:
        return replace(judge, rng=np.random.default_rng([seed, index, zlib.crc32(f"{setting.name}/{arm}".encode())]))

    def blank() -> Sitting:
        return Sitting(judge.bench.kit, method, seed=seed + index)

    arms = {"phased plan": planned(blank(), answering("plan"), truth)}
    if setting.baselines:
        at = (*READ_AT, FIXED_LENGTH)
        fixed = blank()
        arms["fixed sequence"] = given(fixed, answering("fixed"), fixed_sequence(judge.bench), at)
        answers = [e.judgement for e in fixed.entries if isinstance(e.judgement, PairJudgement)]
        rng = np.random.default_rng([seed, index, 2])
        counted = vote_checkpoints(judge.bench, answers, at, rng)
        arms["fixed, votes"] = Outcome(at, counted, None, False, len(answers))
        arms["random pairs"] = given(blank(), answering("random"), random_pairs(judge.bench, LAST, rng), READ_AT)
    return Client(judge.theta, truth, border_distance(method, judge.theta), judge.sigma, arms)


def planned(sitting: Sitting, judge: Judge, truth: str) -> Outcome:
    """Follow the plan for thirty comparisons, reading the probabilities at the checkpoints."""
    read: list[FloatArray] = []
    reached, right_then, judged, then = None, False, 0, None
    stated = _stated(sitting)
    for n in range(1, LAST + 1):
        try:
            sitting.record(judge.judge(*sitting.propose()))
            judged = n
        except NothingToPropose:
            pass  # the kit is exhausted: what is known stays as it is
        may_be_firm = reached is None and _coarse_top(sitting) >= _SCREEN
        if n in READ_AT or may_be_firm:
            stated = _stated(sitting)
        if may_be_firm and stated.max() >= FIRM:
            reached, right_then = n, sitting.method.categories[int(stated.argmax())] == truth
            then = float(stated.max())
        if n in READ_AT:
            read.append(stated)
    return Outcome(READ_AT, np.stack(read), reached, right_then, judged, then)


def given(sitting: Sitting, judge: Judge, pairs: list[tuple[str, str]], at: tuple[int, ...]) -> Outcome:
    """Judge given pairs in order, reading the probabilities at the checkpoints."""
    read: list[FloatArray] = []
    for n, pair in enumerate(pairs, 1):
        sitting.record(judge.judge(*pair))
        if n in at:
            read.append(_stated(sitting))
    return Outcome(at, np.stack(read), None, False, len(pairs))


def _stated(sitting: Sitting) -> FloatArray:
    return np.array(list(sitting.probabilities().values()))


def _coarse_top(sitting: Sitting) -> float:
    return float(sitting.planning_posterior.masses(sitting.planning_frame.categories).max())


def sitting_after(setting: Setting, index: int, seed: int, count: int) -> Sitting:
    """Return a planned sitting after a number of comparisons."""
    judge = client_judge(setting, index, seed)
    sitting = Sitting(judge.bench.kit, judge.bench.method, seed=seed + index)
    for _ in range(count):
        sitting.record(judge.judge(*sitting.propose()))
    return sitting


def in_parallel(work: Callable[..., object], jobs: Iterable[tuple[object, ...]], processes: int) -> Iterable[object]:
    """Return the results of jobs in order. They depend on the jobs alone, not on how many processes share them."""
    jobs = list(jobs)
    if processes <= 1:
        yield from (work(*job) for job in jobs)
        return
    with ProcessPoolExecutor(processes, mp_context=get_context("fork")) as pool:
        yield from pool.map(work, *zip(*jobs, strict=True), chunksize=1)


def prepare(settings: Iterable[Setting], seed: int) -> None:
    """Lay out every kit once, so that forked processes share it."""
    for setting in settings:
        bench_of(study_kit(setting.kit, seed), study_method())
