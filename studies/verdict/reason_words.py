"""Whether reasons name the right axis: part `words` of ./run bench verdict.

Of simulated sittings on three kits, every reason and every objection that the verdict gives. An axis that a reason
names *runs against* it where the category lies on the other side of that axis; one that an objection names, where it
lies on that side. An axis *turns the other way* where the client's place moves to the other end by these entries, as a
sitting made without them has it, not the verdict's own leave-one-out.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import chain

import numpy as np

from studies.clients.scoring import wilson
from studies.clients.targets import Target, at_most
from studies.clients.trials import Setting, sitting_after
from tenter import PhaseMissing, Sitting
from tenter.arrays import FloatArray
from tenter.consultation.axes import Axis
from tenter.consultation.findings.pull import runs_against
from tenter.consultation.findings.reasons import EvidenceReason
from tenter.consultation.findings.verdict import Verdict
from tenter.consultation.words.traits import LeadingTrait

KITS = ("demo", "simulated 60", "simulated 200")
COMPARISONS = (12, 20, 30)


@dataclass(frozen=True)
class Word:
    """One axis named by a reason (`speaks_for`) or an objection, or none.

    against: whether it runs against what it says. turned: whether the client's place truly moves the other way, when
    the entries are left out of a sitting of their own.
    """

    kit: str
    speaks_for: bool
    named: bool
    against: bool = False
    turned: bool = False


def words_of(kit: str, index: int, seed: int) -> list[Word]:
    """Return what the reasons and objections of one sitting name."""
    sitting = sitting_after(Setting("words", kit), index, seed, COMPARISONS[index % len(COMPARISONS)])
    try:
        verdict = sitting.verdict()
    except PhaseMissing:
        return []
    told = [(r, True) for r in verdict.reasons] + [(r, False) for r in verdict.against]
    return list(chain.from_iterable(_words(kit, sitting, verdict, reason, side) for reason, side in told))


def _words(kit: str, sitting: Sitting, verdict: Verdict, reason: EvidenceReason, speaks_for: bool) -> list[Word]:
    if not reason.named:
        return [Word(kit, speaks_for, named=False)]
    prototype = np.array(sitting.method.region(verdict.category).prototype)
    moved = _moved(sitting, reason.entries)
    return [
        Word(kit, speaks_for, True, _against(end, prototype, speaks_for), _turned(end, moved)) for end in reason.named
    ]


def _against(end: LeadingTrait, prototype: FloatArray, speaks_for: bool) -> bool:
    return runs_against(end if speaks_for else end.opposite, prototype)


def _turned(end: LeadingTrait, moved: dict[Axis, float]) -> bool:
    return moved[end.axis] * end.sign < 0


def _moved(sitting: Sitting, entries: Sequence[int]) -> dict[Axis, float]:
    """Return by how much the client's place moves by some entries, read by a sitting made without them."""
    rest = Sitting(sitting.kit, sitting.method, seed=sitting.seed)
    rest.record_all(e.judgement for e in sitting.evidence if e.number not in entries)
    whole, without = sitting.estimates(), rest.estimates()
    return {axis: whole[axis].mean - without[axis].mean for axis in Axis}


def words_table(words: Sequence[Word]) -> list[str]:
    """Return what reasons and objections name, by kit."""
    lines = [
        "\nWORDS: axes named by reasons and objections; of those named, how many run against, or turn the other way"
    ]
    for kit in KITS:
        for side, name in ((True, "reasons"), (False, "objections")):
            some = [w for w in words if w.kit == kit and w.speaks_for is side]
            named = [w for w in some if w.named]
            lines.append(
                f"  {kit:14s} {name:11s} axes named {len(named):4d}, none named {len(some) - len(named):4d}   against "
                f"{sum(w.against for w in named):3d}   turned {sum(w.turned for w in named):3d}"
            )
    return lines


def words_targets(words: Sequence[Word]) -> list[Target]:
    """Return what is wanted of them."""
    named = [w for w in words if w.named]
    against, turned = sum(w.against for w in named), sum(w.turned for w in named)
    low, high = wilson(against, len(named))
    return [
        at_most(
            f"axes named against what is said, of {len(named)} ({low:.1%} to {high:.1%})",
            _share(against, named),
            2,
            "%",
        ),
        at_most("axes named that turn the other way", _share(turned, named), 2, "%"),
    ]


def _share(count: int, of: Sequence[Word]) -> float | None:
    return 100 * count / len(of) if of else None
