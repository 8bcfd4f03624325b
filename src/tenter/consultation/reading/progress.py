"""How far a sitting has come: the phase that each standing entry belongs to, and the one that it is in now."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from tenter.consultation.conventions.method import Method
from tenter.consultation.reading.evidence_set import EvidenceSet
from tenter.consultation.reading.phases import DONE, next_phase
from tenter.consultation.record.history import Entry
from tenter.consultation.record.judgements import PairJudgement


@dataclass(frozen=True, slots=True)
class _Step:
    """A standing entry: the phase that it belongs to, the phase after it, and how many entries that one has had."""

    number: int
    belongs: str
    phase: str
    count: int


@dataclass(eq=False)
class PhaseProgress:
    """The way of a sitting through the phases of its method, followed on the coarse frame of the whole space.

    After the last phase nothing is weighed any more, and what stands before an undo is not weighed again, so that a
    long record costs what its phases cost and no more.
    """

    method: Method
    evidence: EvidenceSet
    _steps: list[_Step] = field(default_factory=list)
    _phase_of: dict[int, str] = field(default_factory=dict)

    @property
    def phase(self) -> str:
        """The phase after the last entry, or "done"."""
        return self._steps[-1].phase if self._steps else self.method.phases[0].id

    @property
    def count(self) -> int:
        """How many entries the phase has had that is not over yet."""
        return self._steps[-1].count if self._steps else 0

    def phase_of(self, number: int) -> str | None:
        """Return the phase that an entry belongs to; of a repeat, that of what it repeats.

        None of an entry that does not stand.
        """
        return self._phase_of.get(number)

    def follow(self, standing: Sequence[Entry]) -> None:
        """Go along with the standing entries, from the first that is another than before."""
        known = self._common(standing)
        if known == len(self._steps) == len(standing):
            return
        del self._steps[known:]
        self._phase_of = {step.number: step.belongs for step in self._steps}
        self.evidence.read(standing)
        repeated = _repeated(standing)
        for count in range(len(self._steps), len(standing)):
            step = self._step(standing[: count + 1], repeated.get(standing[count].number))
            self._steps.append(step)
            self._phase_of[step.number] = step.belongs

    def _common(self, standing: Sequence[Entry]) -> int:
        """Return up to which entry the way is known already."""
        for count, (step, entry) in enumerate(zip(self._steps, standing, strict=False)):
            if step.number != entry.number:
                return count
        return min(len(self._steps), len(standing))

    def _step(self, standing: Sequence[Entry], repeats: int | None) -> _Step:
        before, count = self.phase, self.count + 1
        belongs = before if repeats is None else self._phase_of[repeats]
        phase = before
        if before != DONE:
            posterior = self.evidence.posterior(standing)
            phase, count = next_phase(self.method, before, count, self.evidence.frame, posterior)
        return _Step(standing[-1].number, belongs, phase, count)


def _repeated(standing: Sequence[Entry]) -> dict[int, int]:
    """Return, of each entry on a pair that was seen before, the number of the first entry on it."""
    first: dict[frozenset[tuple[str, ...]], int] = {}
    repeats = {}
    for entry in standing:
        if isinstance(entry.judgement, PairJudgement):
            number = first.setdefault(entry.judgement.pair, entry.number)
            if number != entry.number:
                repeats[entry.number] = number
    return repeats
