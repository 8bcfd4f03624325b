"""What to do first for a kit: what spoils an answer today, then what to measure again, then what to look for."""

from collections.abc import Iterator, Sequence

from tenter.consultation.fading.drift import DRIFTED_FROM
from tenter.consultation.laid_out.audit import FindingKind, KitAudit, KitFinding
from tenter.consultation.readings.summary import WIDE_SPREAD
from tenter.numerals import listed, number
from tenter.report.workshop.checked_kit import CheckedKit
from tenter.report.workshop.workshop_paper import PaperRow

_MOST_NAMED = 6  # in one sentence


def first_things(checked: CheckedKit) -> Iterator[PaperRow]:
    """Yield what to do, the most urgent first: what spoils an answer today, then what is to be bought."""
    drifted = [one.cloth for one in checked.drifted]
    if drifted:
        new = "its new colour" if len(drifted) == 1 else "their new colours"
        why = f"{_they(drifted)} changed by ΔE00 {number(DRIFTED_FROM, 0)} or more since the first readings."
        yield PaperRow(f"Take {few_named(drifted)} out of the tests, or enter {new}.", (why,))
    if checked.drift is not None and checked.drift.pairs:
        pairs = [f"{' and '.join(pair.cloths)}" for pair in checked.drift.pairs]
        said = f"these pairs: {few_named(pairs, joint='; ')}" if len(pairs) > 1 else f"{pairs[0]} against each other"
        why = f"{'They match' if len(pairs) > 1 else 'The two match'} no longer, because a cloth has changed."
        yield PaperRow(f"Don’t hold {said}.", (why,))
    wide = [one.cloth for one in checked.wide]
    if wide:
        its = "Its" if len(wide) == 1 else "Their"
        yield PaperRow(
            f"Read {few_named(wide)} again.", (f"{its} readings spread by more than ΔE00 {WIDE_SPREAD:.0f}.",)
        )
    yield from _of_audit(checked.audit)
    yield from _missing(checked)


def _of_audit(found: KitAudit) -> Iterator[PaperRow]:
    mixed = found.of_kind(FindingKind.MIXED_PAIR)
    if mixed:
        pairs = [" and ".join(one.cloths) for one in mixed]
        said = "Don’t rely on this mixed pair" if len(pairs) == 1 else f"Don’t rely on {len(pairs)} mixed pairs"
        yield PaperRow(
            f"{said}: {few_named(pairs, joint='; ')}.",
            (f"{'Each' if len(pairs) > 1 else 'It'} differs in more than what it is meant to test.",),
        )
    for kind in (
        FindingKind.MEASURE_AGAIN,
        FindingKind.NEAR_DUPLICATE,
        FindingKind.UNMEASURED,
        FindingKind.TOO_FEW_PAIRS,
    ):
        yield from _advised(found.of_kind(kind))
    alike = list(dict.fromkeys(cloth for one in found.of_kind(FindingKind.LOOK_ALIKE) for cloth in one.cloths))
    if alike:
        yield PaperRow(f"Measure {few_named(alike)} again.", ("They may be nearly one cloth.",))
    yield from _advised(found.of_kind(FindingKind.TOO_FEW_CLOTHS))


def _missing(checked: CheckedKit) -> Iterator[PaperRow]:
    """Yield what to look for: what surely adds to the verdict, or the widest gaps where nobody worked that out."""
    found = checked.audit
    if checked.worth is not None:
        wanted = [f"{with_article(cloth.words)} ({lab_place(cloth.lab)})" for cloth in checked.worth.to_buy]
        if wanted:
            yield PaperRow(f"Look for {listed(wanted)}.", ("Each is predicted to add to the verdict.",))
    elif found.gaps:
        wanted = [f"{with_article(gap.hue_family)} ({lab_place(gap.lab)})" for gap in found.gaps]
        yield PaperRow(
            f"Look for {listed(wanted)}.", (f"The widest gaps: {listed([gap.words for gap in found.gaps])}.",)
        )


def with_article(words: str) -> str:
    """Return "a red" or "an orange"."""
    return f"{'an' if words[0] in 'aeiou' else 'a'} {words}"


def lab_place(lab: tuple[float, float, float]) -> str:
    """Return the place of a colour, `lab` in CIELAB, in whole numbers."""
    L, a, b = (number(value, 0) for value in lab)
    return f"L* {L}, a* {a}, b* {b}"


def _advised(found: Sequence[KitFinding]) -> Iterator[PaperRow]:
    for one in found[:_MOST_NAMED]:
        yield PaperRow(one.advice, (one.text,))


def few_named(names: Sequence[str], joint: str = ", ") -> str:
    """Return names in a list, so many that it stays a sentence, and how many more there are."""
    more = [f"{len(names) - _MOST_NAMED} more"] if len(names) > _MOST_NAMED else []
    said = [*names[:_MOST_NAMED], *more]
    return listed(said) if joint == ", " else joint.join(said)


def _they(names: Sequence[str]) -> str:
    return "It has" if len(names) == 1 else "They have"
