"""The history of a sitting: append-only, so that void and undo lose nothing."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from tenter.consultation.record.judgements import Judgement
from tenter.consultation.record.no_evidence import ConsultantVerdict, VoidEntry
from tenter.errors import TenterError
from tenter.given import given_text, given_whole
from tenter.language import _


@dataclass(frozen=True, slots=True)
class Recorded:
    """A judgement came in as entry `number`, counted from 1."""

    number: int
    judgement: Judgement


@dataclass(frozen=True, slots=True)
class Voided:
    """An entry was taken out of the evidence, with the reason."""

    number: int
    reason: str


@dataclass(frozen=True, slots=True)
class Undone:
    """The event at `index` was taken back."""

    index: int


@dataclass(frozen=True, slots=True)
class MissingCloth:
    """A cloth cannot be found and is not proposed."""

    drape: str


Event = Recorded | Voided | Undone | MissingCloth


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry as it stands now. `void` holds the reason when it is out of the evidence."""

    number: int
    judgement: Judgement
    void: str | None = None
    undone: bool = False

    @property
    def stands(self) -> bool:
        """Whether the entry is neither void nor undone."""
        return self.void is None and not self.undone

    @property
    def is_evidence(self) -> bool:
        """Whether the entry stands and speaks about the face."""
        return self.stands and self.judgement.is_evidence


@dataclass(slots=True)
class History:
    """Events in the order they happened. Nothing is ever removed from it."""

    events: list[Event] = field(default_factory=list)

    def record(self, judgement: Judgement) -> int:
        """Append a judgement and return its entry number."""
        number = sum(isinstance(e, Recorded) for e in self.events) + 1
        self.events.append(Recorded(number, judgement))
        return number

    def void(self, number: int, reason: str) -> None:
        """Take an entry out of the evidence and keep it.

        Raises `TenterError` for a number of no entry, an entry that is void or undone already, or a blank reason.
        """
        entry = self.entry(number)
        if not entry.stands:
            raise TenterError(
                _("entry {number} is undone already", number=number)
                if entry.undone
                else _("entry {number} is void already", number=number)
            )
        if not given_text(reason, _("the reason of a void entry"), needed=False).strip():
            raise TenterError(_("a void entry needs a reason, for whoever reads the record later"))
        self.events.append(Voided(number, reason))

    def set_aside(self, drape: str) -> None:
        """Note that a cloth cannot be found."""
        if drape not in self.missing():
            self.events.append(MissingCloth(drape))

    def missing(self) -> frozenset[str]:
        """Return the cloths that cannot be found."""
        gone = self._gone()
        return frozenset(e.drape for i, e in enumerate(self.events) if isinstance(e, MissingCloth) and i not in gone)

    def undo(self) -> Event:
        """Take back the last event that still holds, and return it; raises `TenterError` where there is none."""
        gone = self._gone()
        for index in range(len(self.events) - 1, -1, -1):
            event = self.events[index]
            if index not in gone and not isinstance(event, Undone):
                self.events.append(Undone(index))
                return event
        raise TenterError(_("there is nothing to undo"))

    def _gone(self) -> set[int]:
        return {e.index for e in self.events if isinstance(e, Undone)}

    def entry(self, number: int) -> Entry:
        """Return an entry by number; raises `TenterError` where there is none of that number."""
        wanted = given_whole(number, _("the number of an entry"), 0)
        for entry in self.entries():
            if entry.number == wanted:
                return entry
        raise TenterError(_("there is no entry {number}", number=wanted))

    def entries(self) -> Iterator[Entry]:
        """Yield every entry as it stands, void and undone ones included."""
        gone = self._gone()
        reasons = {e.number: e.reason for i, e in enumerate(self.events) if isinstance(e, Voided) and i not in gone}
        for index, event in enumerate(self.events):
            if isinstance(event, Recorded):
                own = event.judgement.note or "void" if isinstance(event.judgement, VoidEntry) else None
                yield Entry(event.number, event.judgement, reasons.get(event.number, own), index in gone)


def last_named(entries: Iterable[Entry]) -> ConsultantVerdict | None:
    """Return the result as the consultant named it last, or None where they leave it to the odds."""
    told = [e.judgement for e in entries if e.stands and isinstance(e.judgement, ConsultantVerdict)]
    return told[-1] if told else None
