"""A sitting's judgements read under a method: the record, the posterior, and the plan that follow from each other."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Self

import numpy as np

from tenter.arrays import FloatArray
from tenter.consultation.axes import Axis
from tenter.consultation.client.face import Face
from tenter.consultation.client.face_prior import log_face_prior
from tenter.consultation.cloths.kit import Kit
from tenter.consultation.conventions.method import Method
from tenter.consultation.laid_out.bench import Bench, Frame, bench_of
from tenter.consultation.reading.evidence import axes_tested
from tenter.consultation.reading.evidence_set import EvidenceSet, LeaveOut
from tenter.consultation.reading.fans import best_fan
from tenter.consultation.reading.focus import focus_box
from tenter.consultation.reading.phases import DONE
from tenter.consultation.reading.plan import HeldSoFar, Planner, Proposal
from tenter.consultation.reading.progress import PhaseProgress
from tenter.consultation.reading.record import check_judgement
from tenter.consultation.reading.weighing import split_findings
from tenter.consultation.record.history import Entry, Event, History, Recorded, last_named
from tenter.consultation.record.judgements import Judgement, PairJudgement
from tenter.consultation.record.no_evidence import ConsultantVerdict, Showing
from tenter.errors import TenterError
from tenter.given import given_list, given_truth, given_whole, of_kind
from tenter.inference.lattice import Styles
from tenter.inference.posterior import Posterior
from tenter.language import _

# How far below the heaviest a hypothesis may lie, in natural logarithms, and still be kept when entries are left out.
EXACTLY, ROUGHLY = 22.0, 9.0


@dataclass(frozen=True, slots=True)
class Estimate:
    """Where the client's ideal lies on one axis.

    mean, low, high: in bench units, with the 90 % interval.
    """

    mean: float
    low: float
    high: float


class Reading:
    """One client's judgements under one kit and method.

    Parameters
    ----------
    kit, method
        Frozen into the sitting.
    seed : int
        Decides which side a cloth is proposed on, and nothing else; at least 0.
    face : Face, optional
        The measured face. It is shown and used for contrast and whites; it is no evidence about the season.
    face_prior : bool
        Let the measured skin hue lend a weak prior on undertone; off by default, and said wherever it is on.
    analyst_prior : Styles, optional
        How this analyst has answered so far; `analyst_posterior` of an earlier sitting.

    Raises
    ------
    TenterError
        If something is of another kind, or a prior from the face is asked for without a face.

    Notes
    -----
    The same seed, kit, method, face, analyst prior and entries give the same numbers. Nothing read from a sitting
    changes it.
    """

    def __init__(
        self,
        kit: Kit,
        method: Method,
        seed: int = 0,
        face: Face | None = None,
        analyst_prior: Styles | None = None,
        *,
        face_prior: bool = False,
    ) -> None:
        of_kind(Kit, kit, "the kit", "tenter.Kit.read")
        of_kind(Method, method, "the method", "tenter.Method.bundled")
        seed = given_whole(seed, _("the seed"), 0)
        given_face(face)
        if analyst_prior is not None:
            of_kind(Styles, analyst_prior, "analyst_prior", "analyst_posterior of an earlier sitting")
        if given_truth(face_prior, _("face_prior")) and face is None:
            raise TenterError(_("a prior from the face was asked for, but no face was measured"))
        self.kit, self.method, self.seed, self.face = kit, method, seed, face
        self.styles = analyst_prior or Styles()
        self.bench: Bench = bench_of(kit, method)
        self._history = History()
        self._frame = self.bench.frame(self.styles)
        self._face_prior = face if face_prior else None
        self._progress = PhaseProgress(method, self._no_evidence(self._frame))
        self._standing: tuple[Entry, ...] | None = None
        self._fine: EvidenceSet | None = None
        self._planning: Posterior | None = None
        self._stated: Posterior | None = None
        self._leave_out: dict[float, LeaveOut] = {}

    # -- the record ------------------------------------------------------------------------------------------------

    @property
    def entries(self) -> tuple[Entry, ...]:
        """Every entry as it stands, void and undone ones included."""
        return tuple(self._history.entries())

    @property
    def events(self) -> tuple[Event, ...]:
        """Everything that happened, in order."""
        return tuple(self._history.events)

    @property
    def held(self) -> HeldSoFar:
        """What has been on the bench, void entries too, and the cloths that cannot be found.

        What was shown after the verdict is not in it: it decides nothing, not even which pair comes next.
        """
        held = (e for e in self.entries if not (e.undone or isinstance(e.judgement, Showing)))
        return HeldSoFar(tuple(held), self._history.missing())

    def set_aside(self, drape: str) -> None:
        """Note that a cloth cannot be found: it is not proposed again in this sitting, unless undone.

        Raises `UnknownName` for a cloth that the kit does not have.
        """
        self.kit.row(drape)
        self._history.set_aside(drape)

    @property
    def evidence(self) -> tuple[Entry, ...]:
        """The entries that speak about the face: standing judgements of the analyst."""
        if self._standing is None:
            self._standing = tuple(e for e in self._history.entries() if e.is_evidence)
        return self._standing

    def record(self, judgement: Judgement) -> int:
        """Append a judgement and return its number, counted from 1.

        Raises `TenterError` for what is no judgement, and `UnknownName` for a cloth not in the kit.
        """
        check_judgement(judgement, self.kit, self.method)
        number = self._history.record(judgement)
        if judgement.is_evidence:
            self._changed()
        return number

    def record_all(self, judgements: Iterable[Judgement]) -> Self:
        """Append judgements in order and return self.

        Raises `TenterError` for what is no list, and as `record`; those before the one at fault are then on record.
        """
        for judgement in given_list(judgements, _("the record of judgements")):
            self.record(judgement)
        return self

    def void(self, number: int, reason: str) -> None:
        """Take an entry out of the evidence; it stays in the record with the reason.

        Raises `TenterError` for an entry that does not exist, is void or undone already, or without a reason.
        """
        self._history.void(number, reason)
        if self._history.entry(number).judgement.is_evidence:
            self._changed()

    def undo(self) -> Event:
        """Take back the last entry or void, and return it; it stays in the record.

        Raises `TenterError` where there is nothing to undo.
        """
        event = self._history.undo()
        if not (isinstance(event, Recorded) and not event.judgement.is_evidence):
            self._changed()
        return event

    @property
    def named(self) -> ConsultantVerdict | None:
        """The result as the consultant named it last; None where they leave it to the odds."""
        return last_named(self.entries)

    # -- what follows from it --------------------------------------------------------------------------------------

    @property
    def phase(self) -> str:
        """The method's current phase, or "done". It never stops `record`."""
        return self._followed().phase

    @property
    def phase_count(self) -> int:
        """How many entries the current phase has had."""
        return self._followed().count

    @property
    def exchanges_owed(self) -> tuple[tuple[str, str], ...]:
        """The half-face views whose sides have not been exchanged yet, (left, right) as they are to be held next."""
        waiting = {n for f in split_findings(self.evidence) if not f.exchanged for n in f.numbers}
        pairs = [e.judgement for e in self.evidence if e.number in waiting and isinstance(e.judgement, PairJudgement)]
        return tuple(dict.fromkeys(("+".join(p.sides[1]), "+".join(p.sides[0])) for p in pairs))

    @property
    def uses_face_prior(self) -> bool:
        """Whether the measured skin hue lends a weak prior: off unless asked for."""
        return self._face_prior is not None

    def phase_of(self, number: int) -> str:
        """Return the phase in which an entry that stands came in; of a repeat, that of what it repeats.

        Raises `TenterError` for an entry that is no evidence that stands.
        """
        standing = given_whole(number, _("the number of an entry"), 1)
        phase = self._followed().phase_of(standing)
        if phase is None:
            raise TenterError(_("entry {standing} is not valid evidence, so it has no phase", standing=standing))
        return phase

    @property
    def planning_posterior(self) -> Posterior:
        """The posterior on the coarse lattice of the whole space, kept up to date entry by entry."""
        if self._planning is None:
            self._planning = self.planning_evidence.posterior(self.evidence)
        return self._planning

    @property
    def planning_frame(self) -> Frame:
        """The coarse frame that `planning_posterior` lies on."""
        return self._frame

    @property
    def planning_evidence(self) -> EvidenceSet:
        """The entries on the coarse frame of the whole space."""
        return self._followed().evidence

    def propose(self) -> tuple[str, str]:
        """Return the next pair, (left, right). Changes nothing; raises `NothingToPropose` when no pair is left."""
        proposal = self.proposal()
        return proposal.left, proposal.right

    def proposal(self, planner: Planner | None = None) -> Proposal:
        """Return what `propose` does, with the information that the comparison is expected to give.

        A planner that the caller goes on with need not reckon the same again.
        """
        held, planner = self.held, planner or Planner(self.bench)
        rng = np.random.default_rng([self.seed, len(held.entries)])
        return planner.proposal(self._frame, self.planning_posterior, self.phase, held, rng)

    def propose_fan(self) -> tuple[str, ...] | None:
        """Return the next fan of three cloths of the current phase, or None where the kit or the phase has none."""
        if self.phase == DONE:
            return None
        fan = best_fan(Planner(self.bench), self._frame, self.planning_posterior, self.phase, self.held)
        return fan.ids if fan else None

    @property
    def focus(self) -> EvidenceSet:
        """The entries on a fine frame about where the posterior lies.

        Which frame follows from the entries alone, so that asking twice, or in another order, changes no number.
        """
        box = focus_box(self.planning_posterior)
        if self._fine is None or self._fine.frame.lattice.box != box:
            self._fine = self._no_evidence(self.bench.focused(self.styles, box))
        self._fine.read(self.evidence)
        return self._fine

    def posterior(self) -> Posterior:
        """Return the posterior on the fine frame."""
        if self._stated is None:
            self._stated = self.focus.posterior(self.evidence)
        return self._stated

    def without(self, depth: float = EXACTLY) -> LeaveOut:
        """Return the sitting prepared for leaving entries out, `EXACTLY` for odds or `ROUGHLY` for surprises.

        depth: natural log weight below the likeliest hypothesis, down to which hypotheses are kept.
        """
        if depth not in self._leave_out:
            self._leave_out[depth] = LeaveOut.of(self.focus, self.evidence, self.posterior(), depth)
        return self._leave_out[depth]

    def rest(self) -> None:
        """Let go of what only odds need, most of what a sitting weighs; it is made again, the same, when asked for."""
        self._fine, self._stated, self._leave_out = None, None, {}

    def probabilities(self) -> dict[str, float]:
        """Return the probability of each category; answers at any time and sums to 1."""
        return self.masses(self.posterior())

    def masses(self, posterior: Posterior) -> dict[str, float]:
        """Return the probability of each category under a posterior on the fine frame."""
        return _named(self.method.categories, posterior.masses(self.focus.frame.categories))

    def season_probabilities(self) -> dict[str, float]:
        """Return the probability of each season."""
        return sum_by_season(self.method, self.probabilities())

    def estimates(self) -> dict[Axis, Estimate]:
        """Return where the ideal lies on each axis, in bench units, with a 90 % interval; answers at any time."""
        posterior = self.posterior()
        return {a: Estimate(float(posterior.mean[a.column]), *posterior.interval(a.column)) for a in Axis}

    def axes_judged(self) -> frozenset[Axis]:
        """Return the axes that some entry is about."""
        return frozenset().union(*(axes_tested(self.bench, e.judgement) for e in self.evidence))

    def analyst_posterior(self) -> Styles:
        """Return how this analyst seems to answer, to carry into the next sitting."""
        return replace(self.styles, weights=tuple(float(w) for w in self.posterior().of_style))

    # -- keeping up ------------------------------------------------------------------------------------------------

    def _no_evidence(self, frame: Frame) -> EvidenceSet:
        undertone = frame.lattice.ideals[:, Axis.UNDERTONE.column]
        hint = log_face_prior(self._face_prior, undertone) if self._face_prior else np.zeros_like(undertone)
        return EvidenceSet(self.bench, frame, hint)

    def _changed(self) -> None:
        """Forget what followed from the entries that stood: it is reckoned when it is asked for, and not before."""
        self._standing, self._planning, self._stated, self._leave_out = None, None, None, {}

    def _followed(self) -> PhaseProgress:
        self._progress.follow(self.evidence)
        return self._progress


def given_face(face: object) -> None:
    """Raise `TenterError` for a face that is neither measured nor None."""
    if face is not None:
        of_kind(Face, face, "the face", "tenter.Face.read")


def sum_by_season(method: Method, probabilities: dict[str, float]) -> dict[str, float]:
    """Return the probability of each season, by the probabilities of the categories."""
    total = dict.fromkeys(method.seasons, 0.0)
    for category, p in probabilities.items():
        total[method.season_of[category]] += p
    return total


def _named(names: tuple[str, ...], values: FloatArray) -> dict[str, float]:
    return {name: float(v) for name, v in zip(names, values, strict=True)}
