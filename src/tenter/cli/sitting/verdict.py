"""`tenter verdict`: the verdict in words, on one screen."""

from math import exp
from typing import TYPE_CHECKING

from tenter.cli.shared.inputs import (
    ClientOption,
    FaceOption,
    KitOption,
    LedgerArgument,
    MethodOption,
    SeedOption,
    errors_said,
    replayed_ledger,
)
from tenter.consultation.conventions.bundled import DEFAULT_METHOD

if TYPE_CHECKING:
    from rich.console import Console

    from tenter import Sitting, Verdict


def verdict(
    client: ClientOption,
    ledger: LedgerArgument = None,
    kit: KitOption = None,
    method: MethodOption = DEFAULT_METHOD,
    face: FaceOption = None,
    seed: SeedOption = 7,
) -> None:
    """Say the verdict, why, what speaks against it, and what would settle it."""
    with errors_said():
        sitting = replayed_ledger(ledger, client, kit, method, face, seed)
        found = sitting.verdict()
    print_verdict(client, sitting, found)


def print_verdict(client: str, sitting: "Sitting", verdict: "Verdict") -> None:
    """Print a verdict so that it fits one screen."""
    from rich.console import Console

    console = Console(highlight=False)
    _print_result(console, client, sitting, verdict)
    _print_doubts(console, sitting, verdict)
    _print_reasons(console, verdict)
    _print_settling(console, sitting, verdict)


def _print_result(console: "Console", client: str, sitting: "Sitting", verdict: "Verdict") -> None:
    from tenter.consultation.reading.tally import tally
    from tenter.consultation.words.odds_words import percent
    from tenter.report.words.made import made

    console.print(f"[bold]{client}: {verdict.headline}[/bold]  ({percent(verdict.probability)})", soft_wrap=True)
    _print_named(console, sitting)
    console.print(f"{verdict.season} {percent(verdict.season_probability)} · {made(tally(sitting.entries))}")
    console.print(f"traits: {', '.join(str(t) for t in verdict.traits.values())}")
    neighbour = f"; by convention {verdict.trait_neighbour}" if verdict.neighbours_differ else ""
    console.print(f"second: {verdict.runner_up} {percent(verdict.probabilities[verdict.runner_up])} by odds{neighbour}")


def _print_doubts(console: "Console", sitting: "Sitting", verdict: "Verdict") -> None:
    from tenter.consultation.findings.border import BorderCheck
    from tenter.consultation.reading.online import advice
    from tenter.report.words.doubts import doubt_words

    if verdict.border and verdict.border.check is not BorderCheck.UNTESTED:
        console.print(f"border: {verdict.border.text}", markup=False)
    console.print(verdict.stop.why, markup=False)
    if verdict.photographs_alone:
        console.print(advice(sitting.face is not None))
    for line in doubt_words(verdict):
        console.print(line, markup=False)
    for offset in verdict.hue_dependent:
        word = "more" if offset.mean > 0 else "less"
        console.print(f"hue-dependent: {offset.family} takes {word} clarity than the other hues")


def _print_reasons(console: "Console", verdict: "Verdict") -> None:
    from tenter.report.reading.why import together
    from tenter.report.words.wording import times

    for title, reasons, most in (("why", verdict.reasons, 3), ("against", verdict.against, 2)):
        console.print(f"\n[bold]{title}[/bold]")
        for reason in reasons[:most]:
            console.print(f"  {times(exp(reason.log_odds))}  {reason.text}", markup=False)
        if not reasons:
            console.print("  nothing clearly" if verdict.contradictions else "  nothing")
        if reasons is verdict.reasons and together(verdict):
            console.print(f"  {together(verdict)}", markup=False)


def _print_settling(console: "Console", sitting: "Sitting", verdict: "Verdict") -> None:
    from tenter.consultation.laid_out.pair_quality import mixed_words
    from tenter.report.reading.why import contradicts

    if verdict.contradictions:
        console.print("\n[bold]to hold again[/bold]")
    for c in verdict.contradictions:
        held = " and ".join(c.repeat)
        said = contradicts(c)
        console.print(f"  entry {c.number}: {held}. {said} Perhaps {'; or '.join(c.causes)}.", markup=False)
    if verdict.settling_pair and not verdict.stop.advised:
        left, right = (sitting.kit[i] for i in verdict.settling_pair)
        console.print(f"\nWould settle it: {left.id} {left.name} against {right.id} {right.name}", markup=False)
        if note := mixed_words(sitting.bench, verdict.settling_pair):
            console.print(note, markup=False)


def _print_named(console: "Console", sitting: "Sitting") -> None:
    from tenter.report.reading.named_result import named_line

    if sitting.named:
        console.print(named_line(sitting.named).text, markup=False, soft_wrap=True)
