"""The ledger: a sitting's judgements as rows of `judgements.csv`."""

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from importlib.resources import files
from pathlib import Path
from typing import TypedDict, TypeVar

from tenter.consultation.cloths.kit import Kit
from tenter.consultation.cloths.tables import Faults, TableRow, parse_number, read_table, read_text
from tenter.consultation.readings.cloth_reading import day_from
from tenter.consultation.record.judgements import (
    DrapeJudgement,
    FanJudgement,
    GarmentJudgement,
    Group,
    Judgement,
    PairJudgement,
)
from tenter.consultation.record.no_evidence import ConsultantVerdict, EarlierResult, Preference, Showing, VoidEntry
from tenter.consultation.record.sides import Side
from tenter.consultation.words.answers import Answer, Brought, Relative, Source, Suits, View, Worth
from tenter.consultation.words.flags import Flagged, Seen, parse_flag, parse_sign
from tenter.errors import TenterError, UnknownName, UnreadableInput, what_would_do
from tenter.language import _, all_of, as_typed, in_a_row

T = TypeVar("T")

LEDGER_REQUIRED = ("client", "step", "kind", "cloths", "answer")
LEDGER_OPTIONAL = ("phase", "view", "strength", "flags", "signs", "region", "source", "minute", "note", "day")


@dataclass(frozen=True, slots=True)
class LedgerRow:
    """One judgement with the client it belongs to. `step` and `phase` are the analyst's own notes.

    day: of the sitting, as an ISO date; empty where nobody said.
    """

    client: str
    step: str
    phase: str
    judgement: Judgement
    day: str = ""


class _RemarkFields(TypedDict):
    flags: tuple[Flagged, ...]
    signs: tuple[Seen, ...]
    region: str | None
    view: View
    source: Source
    minute: float | None
    note: str


def read_ledger(path: str | Path, kit: Kit) -> list[LedgerRow]:
    """Return the rows of a `judgements.csv`; raises `UnreadableInput` naming every faulty row."""
    return parse_ledger(read_text(Path(path)), kit, str(path))


def demo_ledger(kit: Kit) -> list[LedgerRow]:
    """Return the invented studio's 88 judgements."""
    text = (files("tenter.demo_studio") / "judgements.csv").read_text(encoding="utf-8")
    return parse_ledger(text, kit, "demo judgements")


def parse_ledger(text: str, kit: Kit, source: str = "judgements") -> list[LedgerRow]:
    """Return the judgements of CSV text, each checked against the kit.

    Raises `UnreadableInput` naming every faulty row and column.
    """
    rows = read_table(text, source, LEDGER_REQUIRED, LEDGER_OPTIONAL)
    faults = Faults(source)
    ledger = []
    for row in rows:
        try:
            entry = entry_of(row)
            for cloth in entry.judgement.cloths:
                kit.row(cloth)
            ledger.append(entry)
        except _CellError as error:
            faults.add(row.line, error.column, str(error))
        except TenterError as error:
            faults.add(row.line, "cloths", str(error))
    faults.raise_any()
    return ledger


def judgements_of_client(ledger: list[LedgerRow], client: str, source: str = "judgements") -> list[Judgement]:
    """Return one client's judgements in order, or raise `UnreadableInput` naming the clients there are."""
    found = [row.judgement for row in ledger if row.client == client]
    if not found:
        known = all_of(list(dict.fromkeys(row.client for row in ledger)))
        raise UnreadableInput(
            source,
            _("no judgement of client {client}", client=as_typed(client)),
            _("The clients in it are {names}.", names=known),
        )
    return found


class _CellError(TenterError):
    def __init__(self, column: str, problem: str) -> None:
        self.column = column
        super().__init__(problem)


def entry_of(row: TableRow) -> LedgerRow:
    """Return the entry of one row of cells.

    Raises `TenterError`, as a `_CellError` that names the column, for a row without a client or of no known kind, and
    for a cell that cannot be read.
    """
    if not row["client"]:
        raise _CellError("client", _("the cell is empty; name the client"))
    kind = row["kind"]
    if kind not in _READERS:
        raise _CellError("kind", str(UnknownName(_("kind of entry"), kind, _READERS)))
    day = _cell(row, "day", day_from, row["day"]) if row["day"] else ""
    return LedgerRow(row["client"], row["step"], row["phase"], _READERS[kind](row, _remarks(row)), day)


def _remarks(row: TableRow) -> _RemarkFields:
    return _RemarkFields(
        flags=tuple(_cell(row, "flags", parse_flag, word) for word in row["flags"].split()),
        signs=tuple(_cell(row, "signs", parse_sign, word) for word in row["signs"].split()),
        region=row["region"] or None,
        view=_cell(row, "view", View, row["view"] or View.ALTERNATE),
        source=_cell(row, "source", Source, row["source"] or Source.ANALYST),
        minute=_cell(row, "minute", parse_number, row["minute"]) if row["minute"] else None,
        note=row["note"],
    )


def _cell(row: TableRow, column: str, parse: Callable[[str], T], text: str) -> T:
    try:
        return parse(text)
    except TenterError as error:
        raise _CellError(column, str(error)) from None
    except ValueError:
        problem = _("{text} is not understood", text=as_typed(row[column]))
        if isinstance(parse, type) and issubclass(parse, StrEnum):
            advice = what_would_do(text, parse)
            problem = _("{text} is not understood; {advice}", text=as_typed(row[column]), advice=advice)
        raise _CellError(column, problem) from None


def _sides(row: TableRow) -> list[Side]:
    words = row["cloths"].split()
    return [tuple(w.split("+")) if "+" in w else w for w in words]


def _two_sides(row: TableRow) -> tuple[Side, Side]:
    sides = _sides(row)
    if len(sides) != 2:
        raise _CellError(
            "cloths", _("two cloths are needed, left and right; got {cloths}", cloths=as_typed(row["cloths"]))
        )
    return sides[0], sides[1]


def _strength(row: TableRow) -> int:
    text = row["strength"] or "1"
    if text not in ("1", "2", "3"):
        raise _CellError("strength", _("1, 2 or 3 is needed, got {text}", text=as_typed(text)))
    return int(text)


def _pair(row: TableRow, remarks: _RemarkFields) -> PairJudgement:
    left, right = _two_sides(row)
    return PairJudgement(left, right, _pair_answer(row), _strength(row), **remarks)


def _pair_answer(row: TableRow) -> Answer:
    left, right = row["cloths"].split()
    named = {left: Answer.LEFT, right: Answer.RIGHT, **{str(a): a for a in Answer if a.is_equal}}
    if row["answer"] not in named:
        raise _CellError("answer", str(UnknownName(_("answer"), row["answer"], named)))
    return named[row["answer"]]


def parse_ranking(text: str) -> tuple[str | Group | tuple[str | Group, ...], ...]:
    """Return the ranking of an order like 'a > b = c+d', best first: b and the group of c and d tie."""
    ranks = [tuple(_step(step.strip()) for step in rank.split("=")) for rank in text.split(">")]
    return tuple(rank if len(rank) > 1 else rank[0] for rank in ranks)


def _step(word: str) -> str | Group:
    return Group(tuple(word.split("+"))) if "+" in word else word


def _fan(row: TableRow, remarks: _RemarkFields) -> FanJudgement:
    fan = FanJudgement(parse_ranking(row["answer"]), **remarks)
    if {"+".join(step) for step in fan.steps} != set(row["cloths"].split()):
        raise _CellError(
            "answer",
            _(
                "the order {answer} does not name the cloths held: {cloths}",
                answer=as_typed(row["answer"]),
                cloths=row["cloths"],
            ),
        )
    return fan


def _single(row: TableRow, remarks: _RemarkFields) -> DrapeJudgement:
    sides = _sides(row)
    if len(sides) != 1:
        raise _CellError("cloths", _("one cloth is needed; got {cloths}", cloths=as_typed(row["cloths"])))
    return DrapeJudgement(sides[0], _cell(row, "answer", Suits, row["answer"]), **remarks)


def _preference(row: TableRow, remarks: _RemarkFields) -> Preference:
    sides = _sides(row)
    liked = [s for s in sides if ("+".join(s) if isinstance(s, tuple) else s) == (row["answer"] or row["cloths"])]
    if len(sides) > 2 or len(liked) != 1:
        raise _CellError("answer", _("one of the cloths held is needed, got {answer}", answer=as_typed(row["answer"])))
    others = [s for s in sides if s != liked[0]]
    return Preference(liked[0], others[0] if others else None, **remarks)


def _void(row: TableRow, remarks: _RemarkFields) -> VoidEntry:
    return VoidEntry(tuple(c for word in row["cloths"].split() for c in word.split("+")), **remarks)


def _garment(row: TableRow, remarks: _RemarkFields) -> GarmentJudgement:
    # 'better brighter warmer: own scarf': how it did against the cloth, how it differs from it, and what it is.
    said, _colon, garment = row["answer"].partition(":")
    worth, *differs = said.split() or [""]
    if worth not in GARMENT_WORTH:
        raise _CellError("answer", str(UnknownName(_("answer"), worth, GARMENT_WORTH)))
    if not differs:
        raise _CellError(
            "answer",
            _(
                "say after {worth} how the garment differs from the cloth: {names}",
                worth=as_typed(worth),
                names=in_a_row(list(Relative)),
            ),
        )
    if len(row["cloths"].split()) != 1:
        raise _CellError(
            "cloths",
            _("name the one cloth that the garment was compared with; got {cloths}", cloths=as_typed(row["cloths"])),
        )
    relative = tuple(_cell(row, "answer", Relative, word) for word in differs)
    return GarmentJudgement(row["cloths"], relative, GARMENT_WORTH[worth], garment.strip(), **remarks)


def _earlier(row: TableRow, remarks: _RemarkFields) -> EarlierResult:
    category, method = _named_category(row, _("an earlier result"))
    return _cell(row, "answer", lambda _text: EarlierResult(category, method, **remarks), row["answer"])


def _verdict(row: TableRow, remarks: _RemarkFields) -> ConsultantVerdict:
    category, method = _named_category(row, _("the consultant's verdict"))
    return _cell(row, "answer", lambda _text: ConsultantVerdict(category, method, **remarks), row["answer"])


def _showing(row: TableRow, remarks: _RemarkFields) -> Showing:
    # 'best' of the cloth held, or 'away lipstick: rosewood' of what the client brought
    said, _colon, name = row["answer"].partition(":")
    worth, *what = said.split() or [""]
    if len(what) > 1 or len(row["cloths"].split()) > 1 or bool(row["cloths"]) is bool(what):
        raise _CellError(
            "cloths",
            _("name one cloth of the kit, or in the answer what was brought: {names}", names=in_a_row(list(Brought))),
        )
    brought = _cell(row, "answer", Brought, what[0]) if what else None
    shown = _cell(row, "answer", Worth, worth)
    return _cell(row, "answer", lambda _text: Showing(shown, row["cloths"], brought, name, **remarks), row["answer"])


def _named_category(row: TableRow, what: str) -> tuple[str, str]:
    # 'light spring: another school'
    category, _colon, method = row["answer"].partition(":")
    if row["cloths"]:
        raise _CellError(
            "cloths",
            _("no cloth is held for {what}; leave it empty, got {cloths}", what=what, cloths=as_typed(row["cloths"])),
        )
    return category.strip(), method.strip()


GARMENT_WORTH = {"better": True, "worse": False}
_READERS: dict[str, Callable[[TableRow, _RemarkFields], Judgement]] = {
    "pair": _pair,
    "combination": _pair,
    "fan": _fan,
    "single": _single,
    "preference": _preference,
    "void": _void,
    "garment": _garment,
    "earlier": _earlier,
    "verdict": _verdict,
    "show": _showing,
}
