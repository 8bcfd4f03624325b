"""What to do first for a kit: what spoils an answer today, then what to measure again, then what to look for."""

from collections.abc import Iterator, Sequence

from tenter.consultation.fading.drift import DRIFTED_FROM
from tenter.consultation.laid_out.audit import FindingKind, KitAudit, KitFinding
from tenter.consultation.readings.summary import WIDE_SPREAD
from tenter.language import _, all_of, local_number, ngettext
from tenter.report.words import terms
from tenter.report.workshop.checked_kit import CheckedKit
from tenter.report.workshop.workshop_paper import PaperRow

_MOST_NAMED = 6  # in one sentence


def first_things(checked: CheckedKit) -> Iterator[PaperRow]:
    """Yield what to do, the most urgent first: what spoils an answer today, then what is to be bought."""
    drifted = [one.cloth for one in checked.drifted]
    if drifted:
        named = {"cloths": few_named(drifted), "limit": local_number(DRIFTED_FROM, 0)}
        do, why = (
            ngettext(
                "Take {cloths} out of the tests, or enter its new colour.",
                "Take {cloths} out of the tests, or enter their new colours.",
                len(drifted),
                **named,
            ),
            ngettext(
                "It has changed by ΔE00 {limit} or more since the first readings.",
                "They have changed by ΔE00 {limit} or more since the first readings.",
                len(drifted),
                **named,
            ),
        )
        yield PaperRow(do, (why,))
    if checked.drift is not None and checked.drift.pairs:
        yield _apart([all_of(pair.cloths) for pair in checked.drift.pairs])
    wide = [one.cloth for one in checked.wide]
    if wide:
        why = ngettext(
            "Its readings spread by more than ΔE00 {limit}.",
            "Their readings spread by more than ΔE00 {limit}.",
            len(wide),
            limit=local_number(WIDE_SPREAD, 0),
        )
        yield PaperRow(_("Read {cloths} again.", cloths=few_named(wide)), (why,))
    yield from _of_audit(checked.audit)
    yield from _missing(checked)


def _apart(pairs: Sequence[str]) -> PaperRow:
    """Return that pairs no longer match, as a cloth of each has changed."""
    if len(pairs) == 1:
        return PaperRow(
            _("Don’t hold {pair} against each other.", pair=pairs[0]),
            (_("The two match no longer, because a cloth has changed."),),
        )
    return PaperRow(
        _("Don’t hold these pairs: {pairs}.", pairs=few_named(pairs, joint="; ")),
        (_("They match no longer, because a cloth has changed."),),
    )


def _of_audit(found: KitAudit) -> Iterator[PaperRow]:
    mixed = [all_of(one.cloths) for one in found.of_kind(FindingKind.MIXED_PAIR)]
    if mixed:
        yield PaperRow(
            ngettext(
                "Don’t rely on this mixed pair: {pairs}.",
                "Don’t rely on {count} mixed pairs: {pairs}.",
                len(mixed),
                pairs=few_named(mixed, joint="; "),
            ),
            (
                ngettext(
                    "It differs in more than what it is meant to test.",
                    "Each differs in more than what it is meant to test.",
                    len(mixed),
                ),
            ),
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
        yield PaperRow(_("Measure {cloths} again.", cloths=few_named(alike)), (_("They may be nearly one cloth."),))
    yield from _advised(found.of_kind(FindingKind.TOO_FEW_CLOTHS))


def _missing(checked: CheckedKit) -> Iterator[PaperRow]:
    """Yield what to look for: what surely adds to the verdict, or the widest gaps where nobody worked that out."""
    found = checked.audit
    if checked.worth is not None:
        wanted = [f"{with_article(cloth.words)} ({lab_place(cloth.lab)})" for cloth in checked.worth.to_buy]
        why = _("Each is predicted to add to the verdict.")
    else:
        wanted = [f"{with_article(terms.hue(gap.hue_family))} ({lab_place(gap.lab)})" for gap in found.gaps]
        why = _("The widest gaps: {gaps}.", gaps=all_of([gap.words for gap in found.gaps]))
    if wanted:
        yield PaperRow(_("Look for {colours}.", colours=all_of(wanted)), (why,))


def with_article(words: str) -> str:
    """Return "a red" or "an orange"."""
    return _("an {colour}", colour=words) if words[0] in "aeiou" else _("a {colour}", colour=words)


def lab_place(lab: tuple[float, float, float]) -> str:
    """Return the place of a colour, `lab` in CIELAB, in whole numbers."""
    L, a, b = (local_number(value, 0) for value in lab)
    return f"L* {L}, a* {a}, b* {b}"


def _advised(found: Sequence[KitFinding]) -> Iterator[PaperRow]:
    for one in found[:_MOST_NAMED]:
        yield PaperRow(one.advice, (one.text,))


def few_named(names: Sequence[str], joint: str = ", ") -> str:
    """Return names in a list, so many that it stays a sentence, and how many more there are."""
    left = len(names) - _MOST_NAMED
    more = [ngettext("{count} more", "{count} more", left)] if left > 0 else []
    said = [*names[:_MOST_NAMED], *more]
    return all_of(said) if joint == ", " else joint.join(said)
