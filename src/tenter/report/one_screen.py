"""The verdict on one screen: the reading sheet's own content, and what only the consultant needs beside it."""

from collections.abc import Iterable
from dataclasses import dataclass

from tenter.consultation.method import Method
from tenter.consultation.named import differing
from tenter.consultation.no_evidence import ConsultantVerdict
from tenter.consultation.phases import DONE
from tenter.consultation.sitting import Sitting
from tenter.consultation.translation import Translation
from tenter.consultation.verdict import Verdict
from tenter.report.content import ClientCard, ReadingSheet, reading_sheet
from tenter.report.marks import Mark, Statement
from tenter.report.named_result import Paper
from tenter.report.why import ContradictionLine
from tenter.report.wording import percent


@dataclass(frozen=True, slots=True)
class Repeat:
    """An entry that disagrees with the rest, and the sides to hold again: cloths' ids, several of one side joined."""

    line: ContradictionLine
    hold: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class OneScreen:
    """What the consultant sees of a verdict: the studio's sheet, and what stands on no sheet.

    `handed` is the client's paper, the same sheet unless the consultant named another result than the odds.
    """

    sheet: ReadingSheet
    handed: ReadingSheet
    by_odds: str
    named: ConsultantVerdict | None
    repeats: tuple[Repeat, ...]
    settles: tuple[str, ...]
    without_phase: tuple[Statement, ...]
    other_methods: tuple[Statement, ...]


def one_screen(client: ClientCard, sitting: Sitting, others: Iterable[Method]) -> OneScreen:
    """Return the screen of a sitting; raises `PhaseMissing` before there is a verdict."""
    verdict, sheet = sitting.verdict(), reading_sheet(client, sitting)
    return OneScreen(
        sheet=sheet,
        handed=reading_sheet(client, sitting, Paper.CLIENT) if differing(sitting, verdict) else sheet,
        by_odds=verdict.category,
        named=sitting.named,
        repeats=tuple(
            Repeat(line, found.repeat)
            for line, found in zip(sheet.why.contradictions, verdict.contradictions, strict=True)
        ),
        settles=verdict.settling_pair or (),
        without_phase=tuple(_without_phase(sitting.method, verdict)),
        other_methods=tuple(
            _read_elsewhere(method, sitting.read_under(method)) for method in others if method is not sitting.method
        ),
    )


def _without_phase(method: Method, verdict: Verdict) -> list[Statement]:
    titles = {phase.id: phase.title for phase in method.phases} | {DONE: "After the last phase"}
    return [
        Statement(
            f"{titles[phase]}: {'still ' if category == verdict.category else ''}{category}, {percent(p)}",
            Mark.PREDICTED,
        )
        for phase, (category, p) in verdict.without_phase.items()
    ]


def _read_elsewhere(method: Method, read: Translation) -> Statement:
    if read.category is None:
        return Statement(f"{method.title}: cannot tell.", Mark.PREDICTED)
    again = ", the judgements read again on its own axes" if read.reread else ""
    return Statement(
        f"{method.title}: {read.category}, {read.odds_word}, {percent(read.probability)}{again}.", Mark.PREDICTED
    )
