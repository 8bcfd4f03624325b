"""The accuracy part of the verdict study: settings, scores, ceilings, tables and targets."""

from collections.abc import Callable, Sequence
from typing import Any

import numpy as np

from studies.clients.scoring import CEILING_SDS, Reach, Scores, ceiling, reach, reliability, scores, wilson
from studies.clients.simulation import World
from studies.clients.targets import Target, at_least, at_most
from studies.clients.trials import Client, Setting, in_parallel, prepare, run_client, study_method

CHECKPOINTS = (10, 12, 20, 30)
MAIN = Setting("as modelled", baselines=True)
UNIFORM = Setting("anywhere in the space", spread=None)
DEMO = Setting("demo kit", kit="demo")
SMALL = Setting("24 cloths", kit="simulated 24")
MODEST = Setting("36 cloths", kit="simulated 36")
WORLDS = tuple(Setting(str(w), world=w) for w in World if w is not World.AS_MODELLED)
SETTINGS = (MAIN, UNIFORM, *WORLDS, DEMO, SMALL, MODEST)
PLAN = "phased plan"


class Accuracy:
    """What the sittings of every setting came to."""

    def __init__(self, sizes: dict[str, int], seed: int, processes: int, advance: Callable[[], None]) -> None:
        prepare(SETTINGS, seed)
        jobs = [(s, i, seed) for s in SETTINGS for i in range(sizes[s.name])]
        self.clients: dict[str, list[Client]] = {s.name: [] for s in SETTINGS}
        for (setting, _, _), client in zip(jobs, in_parallel(run_client, jobs, processes), strict=True):
            assert isinstance(client, Client)
            self.clients[setting.name].append(client)
            advance()
        rng = np.random.default_rng([seed, 8])
        self.scores: dict[str, dict[str, dict[int, Scores]]] = {}
        self.reach: dict[str, Reach] = {}
        self.ceilings: dict[str, dict[float, dict[str, float]]] = {}
        for name, clients in self.clients.items():
            self.scores[name] = {
                arm: {n: scores(study_method(), clients, arm, n, rng) for n in outcome.at}
                for arm, outcome in clients[0].arms.items()
            }
            self.reach[name] = reach(clients)
            thetas = np.stack([c.theta for c in clients])
            self.ceilings[name] = {sd: ceiling(study_method(), thetas, sd, rng) for sd in CEILING_SDS}

    def plain(self) -> dict[str, Any]:
        return {
            name: {
                "clients": len(self.clients[name]),
                "clear_clients": self.scores[name][PLAN][30].clear.count,
                "ceilings": {str(sd): c for sd, c in self.ceilings[name].items()},
                "reach_90": self.reach[name].plain(),
                "arms": {
                    arm: {str(n): s.plain() for n, s in by_count.items()} for arm, by_count in self.scores[name].items()
                },
            }
            for name in self.clients
        }

    def targets(self) -> list[Target]:
        """Return what is wanted of the plan; ECE and firm verdicts at every checkpoint from 12 on."""
        plan = self.scores[MAIN.name][PLAN]
        found = [
            at_least("season right after 20", plan[20].season.value, 0.95),
            at_least("sub-season right after 20", plan[20].category.value, 0.88),
            at_least("sub-season right after 10", plan[10].category.value, 0.77),
            at_least("clear clients, sub-season right after 20", plan[20].clear.value, 0.97),
        ]
        for n in CHECKPOINTS[1:]:
            found.append(at_most(f"calibration error (ECE, twelve sub-seasons) after {n}", plan[n].error, 0.05))
            found.append(at_least(f"right when stated ≥ 90 % after {n}", plan[n].firm_right.value, 0.93))
        found.append(at_least("clients that reach 90 % by 30", self.reach[MAIN.name].share.value, 0.75))
        for few in (SMALL, MODEST):
            early = self.scores[few.name][PLAN][20]
            found.append(at_least(f"{few.name}: season right after 20", early.season.value, 0.92))
            found.append(at_least(f"{few.name}: sub-season right after 20", early.category.value, 0.78))
        for world in (World.SATURATING, World.CAPPED):
            late = self.scores[world][PLAN][30]
            found += [
                at_least(f"{world} clients: season right after 30", late.season.value, 0.90),
                at_least(f"{world} clients: sub-season right after 30", late.category.value, 0.80),
                at_least(f"{world} clients: right when stated ≥ 90 % after 30", late.firm_right.value, 0.90),
            ]
        return found

    def table(self) -> list[str]:
        """Return the printed tables: the plan in every setting, then the baselines beside it."""
        lines = [
            "ACCURACY of the phased plan, share right with 95 % interval; clear: 0.3 or more from every border",
            "ceiling: someone who knows the ideal point up to a random error of sd 0.20 / 0.15 / 0.13",
        ]
        for setting in SETTINGS:
            lines += self._setting(setting)
        lines += ["", "BASELINES on the same clients (as modelled): season, sub-season, ECE"]
        for arm, by_count in self.scores[MAIN.name].items():
            for n in (10, 20, 30, 40):
                if n in by_count:
                    s = by_count[n]
                    error = "  -" if arm.endswith("votes") else f"{s.error:.3f}"
                    lines.append(f"  {arm:15s} {n:2d}  {s.season!s:18s}  {s.category!s:18s}  {error}")
        return lines

    def _setting(self, setting: Setting) -> list[str]:
        name = setting.name
        plan, found = self.scores[name][PLAN], self.reach[name]
        ceilings = self.ceilings[name].values()
        caps = [" / ".join(f"{c[kind]:.3f}" for c in ceilings) for kind in ("season", "category")]
        clear = plan[30].clear.count
        lines = [
            "",
            f"{name}  ({setting.kit}; n = {len(self.clients[name])}, clear {clear})"
            f"   ceiling: season {caps[0]}, sub-season {caps[1]}",
            "      season             sub-season         clear clients      edge clients       "
            "ECE [95 %]           stated ≥ 90 %  right then",
        ]
        for n in CHECKPOINTS:
            s = plan[n]
            low, high = s.error_interval
            lines.append(
                f"  {n:2d}  {s.season!s:18s} {s.category!s:18s} {s.clear!s:18s} {s.edge!s:18s} "
                f"{s.error:.3f} [{low:.3f}-{high:.3f}]  {s.firm.value:6.2f}         {s.firm_right}"
            )
        lines.append(
            f"  reached 90 % by 30: {found.share}, median after {found.median:g} comparisons, right then {found.right}"
            + (f"; the kit ran out of pairs in {found.ran_out}" if found.ran_out else "")
        )
        return lines


def reliability_rows(
    accuracy: Accuracy, at: Sequence[int] = (12, 20, 30)
) -> list[tuple[str, list[dict[str, float]], str]]:
    """Return a panel for each checkpoint: title, bins with intervals, and the calibration error in words."""
    rows = []
    for n in at:
        s = accuracy.scores[MAIN.name][PLAN][n]
        bins = reliability(s.confidence, s.right)
        for b in bins:
            b["interval_low"], b["interval_high"] = wilson(round(b["right"] * b["count"]), int(b["count"]))
        rows.append((f"after {n} comparisons", bins, f"ECE {s.error:.3f}"))
    return rows


def curves(accuracy: Accuracy) -> dict[str, dict[int, Scores]]:
    """Return the scores of every arm at every reading, for the figure."""
    order = ("phased plan", "random pairs", "fixed sequence", "fixed, votes")
    return {arm: accuracy.scores[MAIN.name][arm] for arm in order}
