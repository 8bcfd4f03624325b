"""Writing a ledger: the rows of `judgements.csv` that read back as the judgements given."""

import csv
import io
from collections.abc import Iterable
from dataclasses import replace
from functools import singledispatch
from pathlib import Path
from typing import Any

from tenter.consultation.cloths.tables import TableRow
from tenter.consultation.record.judgements import (
    DrapeJudgement,
    FanJudgement,
    GarmentJudgement,
    Judgement,
    PairJudgement,
)
from tenter.consultation.record.ledger import GARMENT_WORTH, LEDGER_OPTIONAL, LEDGER_REQUIRED, LedgerRow, entry_of
from tenter.consultation.record.no_evidence import ConsultantVerdict, EarlierResult, Preference, Showing, VoidEntry
from tenter.consultation.record.sides import Side
from tenter.consultation.words.answers import Answer
from tenter.errors import TenterError
from tenter.language import _

_TEXTS = ("note", "region", "garment", "category", "method", "name")  # what the analyst writes freely
_COLUMNS = (*LEDGER_REQUIRED, *LEDGER_OPTIONAL)


def write_ledger(path: str | Path, rows: Iterable[LedgerRow]) -> None:
    """Write entries as a `judgements.csv`; raises `TenterError`, and writes nothing, if one cannot be put in a row."""
    Path(path).write_text(ledger_text(rows), encoding="utf-8", newline="")


def ledger_text(rows: Iterable[LedgerRow]) -> str:
    """Return entries as the text of a `judgements.csv`, which `parse_ledger` reads back as they are.

    Space around a text is not kept, as no cell keeps it. Raises `TenterError` for an entry that the columns cannot
    hold, and `TypeError` for what is no judgement.
    """
    out, every = io.StringIO(newline=""), list(rows)
    dated = any(row.day for row in every)
    columns = [name for name in _COLUMNS if dated or name != "day"]
    writer = csv.DictWriter(out, columns, extrasaction="ignore", lineterminator="\n")
    writer.writeheader()
    writer.writerows(_checked_cells(row) for row in every)
    return out.getvalue()


def _checked_cells(row: LedgerRow) -> dict[str, str]:
    cells = {column: cell.strip() for column, cell in _cells(row).items()}
    kept = replace(row, client=row.client.strip(), step=row.step.strip(), phase=row.phase.strip())
    kept = replace(kept, judgement=_trimmed(row.judgement))
    if entry_of(TableRow(1, cells)) != kept:
        raise TenterError(
            _(
                "step {step} of {client} cannot be put in a row of a ledger: {judgement}; look for a sign that "
                "the columns use, such as ':' in a category's name or '+' in a cloth's",
                step=row.step,
                client=row.client,
                judgement=row.judgement,
            )
        )
    return cells


def _trimmed(judgement: Judgement) -> Judgement:
    texts: dict[str, str | None] = {name: getattr(judgement, name, None) for name in _TEXTS}
    trimmed: dict[str, Any] = {name: text.strip() for name, text in texts.items() if text is not None}
    if "region" in trimmed:
        trimmed["region"] = trimmed["region"] or None
    return replace(judgement, **trimmed)


def _cells(row: LedgerRow) -> dict[str, str]:
    judgement = row.judgement
    kind, cloths, answer = _said(judgement)
    return {
        "client": row.client,
        "day": row.day,
        "step": row.step,
        "kind": kind,
        "cloths": cloths,
        "answer": answer,
        "phase": row.phase,
        "view": judgement.view,
        "strength": str(judgement.strength) if isinstance(judgement, PairJudgement) else "",
        "flags": " ".join(map(str, judgement.flags)),
        "signs": " ".join(map(str, judgement.signs)),
        "region": judgement.region or "",
        "source": judgement.source,
        "minute": "" if judgement.minute is None else str(judgement.minute),
        "note": judgement.note,
    }


def _joined(side: Side) -> str:
    return side if isinstance(side, str) else "+".join(side)


@singledispatch
def _said(judgement: Judgement) -> tuple[str, str, str]:
    """Return the kind, the cloths and the answer of a judgement, as its row says them."""
    raise TypeError(f"no kind of judgement: {judgement!r}")


@_said.register
def _said_pair_judgement(judgement: PairJudgement) -> tuple[str, str, str]:
    left, right = _joined(judgement.left), _joined(judgement.right)
    answer = {Answer.LEFT: left, Answer.RIGHT: right}.get(judgement.answer, str(judgement.answer))
    kind = "pair" if isinstance(judgement.left, str) and isinstance(judgement.right, str) else "combination"
    return kind, f"{left} {right}", answer


@_said.register
def _said_fan_judgement(judgement: FanJudgement) -> tuple[str, str, str]:
    order = " > ".join(" = ".join(_joined(step) for step in rank) for rank in judgement.ranks)
    return "fan", " ".join(_joined(step) for step in judgement.steps), order


@_said.register
def _said_drape_judgement(judgement: DrapeJudgement) -> tuple[str, str, str]:
    return "single", _joined(judgement.drape), str(judgement.suits)


@_said.register
def _said_preference(judgement: Preference) -> tuple[str, str, str]:
    liked = _joined(judgement.liked)
    return "preference", liked if judgement.over is None else f"{liked} {_joined(judgement.over)}", liked


@_said.register
def _said_void_entry(judgement: VoidEntry) -> tuple[str, str, str]:
    return "void", " ".join(judgement.held), ""


@_said.register
def _said_garment_judgement(judgement: GarmentJudgement) -> tuple[str, str, str]:
    [worth] = [word for word, better in GARMENT_WORTH.items() if better == judgement.better]
    answer = " ".join((worth, *judgement.relative))
    return "garment", judgement.than, f"{answer}: {judgement.garment}" if judgement.garment else answer


@_said.register
def _said_earlier_result(judgement: EarlierResult) -> tuple[str, str, str]:
    return "earlier", "", _category_said(judgement)


@_said.register
def _said_consultant_verdict(judgement: ConsultantVerdict) -> tuple[str, str, str]:
    return "verdict", "", _category_said(judgement)


@_said.register
def _said_showing(judgement: Showing) -> tuple[str, str, str]:
    if judgement.brought is None:
        return "show", judgement.drape, str(judgement.worth)
    return "show", "", f"{judgement.worth} {judgement.brought}: {judgement.name}"


def _category_said(judgement: EarlierResult | ConsultantVerdict) -> str:
    return f"{judgement.category}: {judgement.method}" if judgement.method else judgement.category
