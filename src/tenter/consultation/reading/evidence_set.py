"""The entries of a sitting on one frame: their joint posterior, and what it would be without some of them."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from tenter.arrays import AnyArray, BoolArray, FloatArray
from tenter.consultation.laid_out.bench import Bench, Frame
from tenter.consultation.reading.evidence import Reader, uses_metal
from tenter.consultation.reading.weighing import combine, entry_weights, with_metals
from tenter.consultation.record.history import Entry
from tenter.inference.posterior import Active, Posterior


@dataclass(eq=False)
class EvidenceSet:
    """Log likelihoods of entries on a frame, each computed once and kept by entry number.

    Shapes: h utility shapes, s styles, n ideal points. hint (n,): natural log weight of each ideal point beside the
    prior; zeros unless a face lends one. The sum over entries that weigh a plain 1 and are no metal is kept running,
    for it only ever grows.
    """

    bench: Bench
    frame: Frame
    hint: FloatArray  # log weight of each ideal point beside the prior, shape (n,); zeros unless a face lends one
    _known: dict[int, AnyArray] = field(default_factory=dict)
    _metals: set[int] = field(default_factory=set)
    _summed: tuple[tuple[int, ...], FloatArray | None] = ((), None)

    def read(self, entries: Sequence[Entry]) -> None:
        """Work out the likelihood of each entry that is not known yet."""
        reader = Reader(self.bench, self.frame)
        new = [entry for entry in entries if entry.number not in self._known]
        self.frame.look_up({self.bench.kit.row(c) for entry in new for c in entry.judgement.cloths})
        for entry in new:
            full = np.broadcast_to(reader.log_likelihood(entry.judgement), self.frame.lattice.shape)
            self._known[entry.number] = full.astype(np.float32).ravel()
            if uses_metal(self.bench, entry.judgement):
                self._metals.add(entry.number)

    def rows(self, entries: Sequence[Entry]) -> list[AnyArray]:
        """Return the natural log likelihoods of entries that have been read, (h · s · n,) each."""
        return [self._known[e.number] for e in entries]

    def matrix(self, entries: Sequence[Entry]) -> AnyArray:
        """Return the natural log likelihoods of entries that have been read, shape (e, h · s · n)."""
        size = int(np.prod(self.frame.lattice.shape))
        return np.stack(self.rows(entries)) if entries else np.zeros((0, size), np.float32)

    def posterior(self, entries: Sequence[Entry]) -> Posterior:
        """Return the posterior after entries that have been read, each by its weight and the metals capped."""
        weights = entry_weights(entries)
        plain = [e for e in entries if e.number not in self._metals and weights[e.number] == 1.0]
        others = [e for e in entries if e.number in self._metals or weights[e.number] != 1.0]
        lattice = self.frame.lattice
        joint = self.log_prior + self._sum(tuple(e.number for e in plain))
        if others:
            joint = combine(
                joint,
                self.matrix(others),
                np.array([weights[e.number] for e in others]),
                np.array([e.number in self._metals for e in others]),
                self.flat_sides(),
            )
        return Posterior.of_log_weights(lattice, joint.reshape(lattice.shape))

    @cached_property
    def log_prior(self) -> FloatArray:
        """The log prior with the hint, shape (h · s · n,)."""
        return (self.frame.lattice.log_prior + self.hint).ravel()

    def flat_sides(self) -> FloatArray:
        """Return how far each hypothesis is warm, and cool, shape (2, h · s · n)."""
        return np.tile(self.frame.sides, (1, int(np.prod(self.frame.lattice.shape[:2]))))

    def _sum(self, numbers: tuple[int, ...]) -> FloatArray:
        done, total = self._summed
        if total is None or numbers[: len(done)] != done:
            done, total = (), np.zeros(int(np.prod(self.frame.lattice.shape)))
        for number in numbers[len(done) :]:
            total = total + self._known[number]
        self._summed = (numbers, total)
        return total


@dataclass(frozen=True, eq=False)
class LeaveOut:
    """A sitting on the hypotheses that carry weight, ready to leave entries out and read the rest again.

    For m active hypotheses and e entries: log_prior (m,) and evidence (e, m), natural logarithms; is_metal (e,); sides
    (2, m), how far each hypothesis is warm, and cool.
    """

    bench: Bench
    frame: Frame
    active: Active
    entries: tuple[Entry, ...]
    log_prior: FloatArray  # (m,)
    evidence: AnyArray  # (e, m)
    is_metal: BoolArray
    sides: FloatArray  # (2, m)
    _known: dict[frozenset[int], FloatArray] = field(default_factory=dict, init=False, repr=False)

    @classmethod
    def of(cls, evidence: EvidenceSet, entries: Sequence[Entry], posterior: Posterior, depth: float) -> "LeaveOut":
        """Return the leave-out of entries that have been read, on the hypotheses of their posterior within `depth`.

        depth: natural log weight below the likeliest hypothesis, down to which hypotheses are kept.
        """
        rows = evidence.rows(entries)
        active = Active.of(posterior, rows, depth)
        return cls(
            bench=evidence.bench,
            frame=evidence.frame,
            active=active,
            entries=tuple(entries),
            log_prior=evidence.log_prior[active.places],
            evidence=np.stack([row[active.places] for row in rows]) if rows else np.zeros((0, active.places.size)),
            is_metal=np.array([uses_metal(evidence.bench, e.judgement) for e in entries], dtype=bool),
            sides=evidence.frame.sides[:, active.ideals],
        )

    def weights(self, left_out: Iterable[int]) -> FloatArray:
        """Return the normalised weight of each active hypothesis (m,) without some entries, by number."""
        gone = frozenset(left_out)
        by_number = entry_weights([e for e in self.entries if e.number not in gone])
        weights = np.array([by_number.get(e.number, 0.0) for e in self.entries])
        cloth, metal = self._whole
        cloth = self._changed(cloth, weights, ~self.is_metal)
        has_metal = bool(np.any(weights[self.is_metal]))
        joint = with_metals(cloth, self._changed(metal, weights, self.is_metal), self.sides) if has_metal else cloth
        mass = np.exp(joint - joint.max())
        normalised: FloatArray = mass / mass.sum()
        return normalised

    @cached_property
    def _whole_weights(self) -> FloatArray:
        by_number = entry_weights(self.entries)
        return np.array([by_number[e.number] for e in self.entries])

    @cached_property
    def _whole(self) -> tuple[FloatArray, FloatArray]:
        """The log posterior of all the cloths' evidence, and the log likelihood of all the metals', each (m,)."""
        weights = self._whole_weights.astype(np.float32)  # as the evidence is kept: no copy of it in double width
        cloth = self.log_prior + (weights * ~self.is_metal) @ self.evidence
        return cloth, np.asarray((weights * self.is_metal) @ self.evidence, dtype=float)

    def _changed(self, whole: FloatArray, weights: FloatArray, concerned: BoolArray) -> FloatArray:
        """Return a sum over entries with some weights changed, from the sum with the whole ones."""
        step = (weights - self._whole_weights) * concerned
        for row in np.flatnonzero(step):
            whole = whole + step[row] * self.evidence[row]
        return whole

    def category_masses(self, left_out: Iterable[int]) -> FloatArray:
        """Return the probability of each category without some entries, shape (k,)."""
        masses: FloatArray = self.frame.categories @ self._of_ideal(left_out)
        return masses

    def place(self, left_out: Iterable[int]) -> FloatArray:
        """Return the mean of the client's ideal (3,) in bench units without some entries, by number."""
        mean: FloatArray = self._of_ideal(left_out) @ self.active.lattice.ideals
        return mean

    def pull(self, numbers: Iterable[int]) -> FloatArray:
        """Return by how many standard deviations (3,) some entries draw the client's place."""
        moved: FloatArray = (self._whole_place - self.place(numbers)) / self._spread
        return moved

    def _of_ideal(self, left_out: Iterable[int]) -> FloatArray:
        """Return the probability of each ideal point (n,) without some entries; kept, for much is asked of the same."""
        gone = frozenset(left_out)
        if gone not in self._known:
            mass = np.bincount(self.active.ideals, self.weights(gone), minlength=len(self.active.lattice.ideals))
            self._known[gone] = np.asarray(mass, dtype=np.float64)
        return self._known[gone]

    @cached_property
    def _whole_place(self) -> FloatArray:
        return self.place([])

    @cached_property
    def _spread(self) -> FloatArray:
        off = self.active.lattice.ideals - self._whole_place
        spread: FloatArray = np.sqrt(self._of_ideal([]) @ off**2)
        return np.maximum(spread, 1e-9)

    def outcome_chances(self, entry: Entry) -> FloatArray:
        """Return the probability of each of k outcomes of an entry given all the others, shape (k,).

        The outcome that came is the first.
        """
        outcomes = Reader(self.bench, self.frame).outcomes(entry.judgement, self.active)
        chances: FloatArray = outcomes @ self.weights([entry.number])
        chances /= chances.sum()
        return chances
