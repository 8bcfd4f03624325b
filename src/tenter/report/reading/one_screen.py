"""The verdict on one screen: the reading sheet's own content, and what only the consultant needs beside it."""

from collections.abc import Iterable
from dataclasses import dataclass

from tenter.arrays import steady
from tenter.consultation.conventions.method import Method
from tenter.consultation.findings.contradictions import Contradiction, ContradictionKind
from tenter.consultation.findings.diagnostics import Doubt
from tenter.consultation.findings.named import other_category_named
from tenter.consultation.findings.translation import Translation
from tenter.consultation.findings.verdict import Verdict
from tenter.consultation.reading.phases import DONE
from tenter.consultation.record.no_evidence import ConsultantVerdict
from tenter.consultation.sitting.sitting import Sitting
from tenter.consultation.words import terms as trade
from tenter.language import N_, _
from tenter.report.reading.content import ClientCard, ReadingSheet, reading_sheet
from tenter.report.reading.evidence import AxisEvidence, axis_evidence
from tenter.report.reading.named_result import Paper
from tenter.report.reading.why import ContradictionLine
from tenter.report.words import terms
from tenter.report.words.marks import Mark, Statement
from tenter.report.words.swatches import kit_swatches
from tenter.report.words.wording import printed_percent

_KINDS = {
    ContradictionKind.SURPRISE: N_("Unexpected beside the other answers ({odds})."),
    ContradictionKind.SIDE: N_("The better side stayed the same when the cloths were exchanged: this counts nothing."),
    ContradictionKind.METAL: N_("The metal speaks against the cloths: this counts for little."),
}
_DOUBTS = {
    Doubt.MISFIT: N_("The answers disagree with each other more than these odds allow for."),
    Doubt.POSITION: N_("One side won more often than the cloths explain."),
    Doubt.FATIGUE: N_("The second half of the answers fits together less well than the first."),
    Doubt.CHANGE: N_("The later answers describe another client than the earlier ones."),
}


@dataclass(frozen=True, slots=True)
class Repeat:
    """An entry that disagrees with the rest, and the sides to hold again: cloths' ids, several of one side joined.

    kind: in which way it disagrees, in a short sentence.
    """

    line: ContradictionLine
    hold: tuple[str, ...]
    kind: str


@dataclass(frozen=True, slots=True)
class OneScreen:
    """What the consultant sees of a verdict: the studio's sheet, and what stands on no sheet.

    `handed` is the client's paper, the same sheet unless the consultant named another result than the odds. settles:
    the pair that would settle most, by its cloths' ids. ending: how the sitting stands, and what it owes.
    """

    sheet: ReadingSheet
    handed: ReadingSheet
    by_odds: str
    named: ConsultantVerdict | None
    repeats: tuple[Repeat, ...]
    settles: tuple[str, ...]
    ending: str
    doubts: tuple[str, ...]
    axes: tuple[AxisEvidence, ...]
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
        repeats=_repeats(sheet.why.contradictions, verdict.contradictions),
        settles=verdict.settling_pair or (),
        ending=verdict.stop.why,
        doubts=_doubts(verdict),
        axes=axis_evidence(verdict, sitting.entries, kit_swatches(sitting.kit)),
        without_phase=tuple(_without_phase(sitting.method, verdict)),
        other_methods=tuple(
            _read_elsewhere(method, sitting.read_under(method)) for method in others if method is not sitting.method
        ),
    )


def _repeats(lines: Iterable[ContradictionLine], found: Iterable[Contradiction]) -> tuple[Repeat, ...]:
    """Return the entries that disagree, what was least likely first."""
    told = sorted(zip(lines, found, strict=True), key=lambda one: steady(one[1].p))
    return tuple(Repeat(line, of.repeat, _(_KINDS[of.kind], odds=_unbroken(of.p))) for line, of in told)


def _unbroken(probability: float) -> str:
    """Return a percent that no line ends within."""
    return printed_percent(probability).replace(" ", "\N{NO-BREAK SPACE}")


def _doubts(verdict: Verdict) -> tuple[str, ...]:
    """Return why the odds deserve less trust, a short sentence each, and whether the word for them is lowered."""
    told = tuple(_(_DOUBTS[doubt.code]) for doubt in verdict.tendencies)
    lowered = any(doubt.odds_word_lowered for doubt in verdict.tendencies)
    return (*told, _("So the word for the odds is one step lower.")) if lowered else told


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
