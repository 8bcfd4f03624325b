"""The plain world on clients, kits and seeds that nothing was set on: part `plain` of ./run bench verdict.

Two populations: one has every category alike, on a kit of 200; the other has categories as uneven as a practice may,
on the demo kit, metals and all. Half of the clients lie within 0.3 of a border. Beside Tenter stands a reader of the
same answers who knows the client's shape and the analyst's noise and cut points: more is not to be had from them.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from scipy.special import logsumexp

from studies.clients.scoring import Reach, Scores, reach, scores
from studies.clients.simulation import Judge, World, border_distance, simulated_judge
from studies.clients.targets import Target, at_least
from studies.clients.trials import Client, Outcome, planned, study_kit, study_method
from tenter import Answer, PairJudgement, Sitting
from tenter.arrays import FloatArray
from tenter.inference.likelihood import UtilityLevel, grade_probabilities, log_level

PLAN, KNOWS = "phased plan", "who knows"
AT = (12, 20, 30)
_NODES, _REACH, _SPREAD, _PRIOR_SPREAD = 45, 3.2, 0.45, 0.55
_LEVELS = {
    Answer.BOTH_GOOD: UtilityLevel.GOOD,
    Answer.BOTH_WRONG: UtilityLevel.WRONG,
    Answer.NOTHING_SEEN: UtilityLevel.UNSAID,
}
_GRADES = {(Answer.RIGHT, True): 0, (Answer.RIGHT, False): 1, (Answer.LEFT, False): 3, (Answer.LEFT, True): 4}


@dataclass(frozen=True, slots=True)
class Population:
    """Whose clients: the kit they sit with, and whether their categories are uneven."""

    name: str
    kit: str
    uneven: bool


POPULATIONS = (
    Population("every category alike, 200 cloths", "simulated 200", uneven=False),
    Population("uneven categories, demo kit with metals", "demo", uneven=True),
)


def plain_client(population: Population, index: int, seed: int) -> Client:
    """Return one client of a population, read along the plan and by one who knows."""
    method, kit = study_method(), study_kit(population.kit, seed)
    rng = np.random.default_rng([seed, 41, int(population.uneven), index])
    ideal = method.prototypes[rng.choice(len(method.prototypes), p=shares(population, seed))]
    ideal = ideal + rng.normal(0, _SPREAD, 3)
    judge = simulated_judge(kit, method, World.AS_MODELLED, ideal, rng)
    sitting, truth = Sitting(kit, method, seed=seed + index), method.category_at(ideal)
    arms = {PLAN: planned(sitting, judge, truth)}
    answers = [e.judgement for e in sitting.entries if isinstance(e.judgement, PairJudgement)]
    known = np.stack([_known(judge, answers[:n]) for n in AT])
    arms[KNOWS] = Outcome(AT, known, None, False, len(answers))
    return Client(ideal, truth, border_distance(method, ideal), judge.sigma, arms)


def shares(population: Population, seed: int) -> FloatArray:
    """Return the share of each category among a population's clients."""
    count = len(study_method().categories)
    if not population.uneven:
        return np.full(count, 1 / count)
    drawn: FloatArray = np.random.default_rng([seed, 42]).dirichlet(np.full(count, 2.0))
    return drawn


def _known(judge: Judge, answers: Sequence[PairJudgement]) -> FloatArray:
    """Return the probability of each category for one who knows shape, noise and cut points, summed over a grid."""
    bench, method = judge.bench, judge.bench.method
    axis = np.linspace(-_REACH, _REACH, _NODES)
    theta = np.stack([g.ravel() for g in np.meshgrid(axis, axis, axis, indexing="ij")], axis=1)
    squares = ((theta[:, None, :] - method.prototypes[None]) ** 2).sum(axis=2)
    log = logsumexp(-squares / (2 * _PRIOR_SPREAD**2), axis=1)
    for answer in answers:
        rows = [bench.kit.row(side[0]) for side in answer.sides]
        noise, hidden = (float(v[0]) for v in bench.pair_noise(np.array(rows[:1]), np.array(rows[1:])))
        utility = judge.shape.utility(judge.coordinates[rows], theta)
        grades = grade_probabilities(utility[0] - utility[1], np.array(judge.sigma * noise), judge.responses)
        chance = (1 - hidden) * grades[:, _GRADES.get((answer.answer, answer.strength > 1), 2)]
        if answer.answer.is_equal:
            chance = chance * np.exp(log_level(utility.mean(axis=0), _LEVELS[answer.answer], judge.responses))
        log = log + np.log(chance + (hidden if answer.answer is Answer.NOTHING_SEEN else 0.0))
    mass = np.bincount(squares.argmin(axis=1), np.exp(log - log.max()), minlength=len(method.categories))
    known: FloatArray = mass / mass.sum()
    return known


@dataclass(frozen=True)
class Plain:
    """What some clients came to."""

    name: str
    clients: int
    plan: dict[int, Scores]
    known: dict[int, Scores]
    reach: Reach

    def plain(self) -> dict[str, Any]:
        arms = {PLAN: self.plan, KNOWS: self.known}
        told = {arm: {str(n): s.plain() for n, s in of.items()} for arm, of in arms.items()}
        return {"clients": self.clients, "reach_90": self.reach.plain(), "arms": told}


def plain_scores(clients: dict[str, list[Client]], seed: int) -> list[Plain]:
    """Return the scores of each population, and of all together."""
    rng = np.random.default_rng([seed, 43])
    pooled = {**clients, "both together": [c for some in clients.values() for c in some]}

    def of(some: list[Client], arm: str) -> dict[int, Scores]:
        return {n: scores(study_method(), some, arm, n, rng) for n in AT}

    return [Plain(name, len(some), of(some, PLAN), of(some, KNOWS), reach(some)) for name, some in pooled.items()]


def plain_table(found: Sequence[Plain]) -> list[str]:
    """Return the printed table."""
    lines = ["\nPLAIN WORLD, clients, kits and seeds that nothing was set on: share right with 95 % interval"]
    for one in found:
        lines.append(f"\n{one.name}  (n = {one.clients}, clear {one.plan[30].clear.count})")
        lines.append("      season             sub-season         edge clients       ECE    stated ≥ 90 %, right")
        for n in AT:
            for arm, of in ((PLAN, one.plan[n]), (KNOWS, one.known[n])):
                lines.append(
                    f"  {n:2d}  {of.season!s:18s} {of.category!s:18s} {of.edge!s:18s} {of.error:.3f}  "
                    f"{of.firm.value:.2f}  {of.firm_right!s:18s} {arm}"
                )
        lines.append(f"  reached 90 %: {one.reach.share}, median {one.reach.median:g}, right then {one.reach.right}")
    return lines


def plain_targets(found: Sequence[Plain]) -> list[Target]:
    """Return what is wanted of all together; a floor is missed where the whole interval lies below it."""
    pooled = found[-1]
    early, late = pooled.plan[20], pooled.plan[30]
    return [
        at_least("plain world, season after 20, upper bound", early.season.interval[1], 0.95),
        at_least("plain world, sub-season after 20, upper bound", early.category.interval[1], 0.88),
        at_least("plain world, right when stated ≥ 90 % after 30", late.firm_right.value, 0.95),
    ]
