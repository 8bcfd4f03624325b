"""The verdict on one screen: the reading sheet's own content, and what only the consultant needs beside it."""

from collections.abc import Iterable
from dataclasses import dataclass

from tenter.consultation.conventions.method import Method
from tenter.consultation.findings.named import other_category_named
from tenter.consultation.findings.translation import Translation
from tenter.consultation.findings.verdict import Verdict
from tenter.consultation.reading.phases import DONE
from tenter.consultation.record.no_evidence import ConsultantVerdict
from tenter.consultation.sitting.sitting import Sitting
from tenter.consultation.words import terms as trade
from tenter.language import N_, _
from tenter.report.reading.content import ClientCard, ReadingSheet, reading_sheet
from tenter.report.reading.named_result import Paper
from tenter.report.reading.why import ContradictionLine
from tenter.report.words import terms
from tenter.report.words.marks import Mark, Statement
from tenter.report.words.wording import printed_percent


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
        handed=reading_sheet(client, sitting, Paper.CLIENT) if other_category_named(sitting, verdict) else sheet,
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
    titles = {phase.id: terms.phase(phase.title) for phase in method.phases} | {DONE: _("After the last phase")}
    still, other = N_("{phase}: still {category}, {odds}"), N_("{phase}: {category}, {odds}")
    return [
        Statement(
            _(
                still if category == verdict.category else other,
                phase=titles[phase],
                category=terms.season(category),
                odds=printed_percent(p),
            ),
            Mark.PREDICTED,
        )
        for phase, (category, p) in verdict.without_phase.items()
    ]


def _read_elsewhere(method: Method, read: Translation) -> Statement:
    title = terms.method_title(method.title)
    if read.category is None:
        return Statement(_("{method}: cannot tell.", method=title), Mark.PREDICTED)
    again = N_("{method}: {category}, {odds_word}, {odds}, the judgements read again on its own axes.")
    told = _(
        again if read.reread else N_("{method}: {category}, {odds_word}, {odds}."),
        method=title,
        category=terms.season(read.category),
        odds_word=trade.odds(read.odds_word),
        odds=printed_percent(read.probability),
    )
    return Statement(told, Mark.PREDICTED)
