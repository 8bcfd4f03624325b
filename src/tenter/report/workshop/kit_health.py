"""Kit health: what is said of a kit on a day: what to do first, what it covers and lacks, and what has changed."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from tenter.consultation.cloths.kit import Kit
from tenter.consultation.conventions.method import Method
from tenter.consultation.fading.drift import DRIFTED_FROM, ClothDrift
from tenter.consultation.fading.kit_drift import KitDrift, kit_drift
from tenter.consultation.laid_out.audit import FindingKind, KitAudit, KitFinding, audit, cloth_named
from tenter.consultation.laid_out.bench import bench_of
from tenter.consultation.laid_out.coverage import Gap
from tenter.consultation.readings.book import ReadingBook
from tenter.consultation.readings.cloth_reading import day_from
from tenter.consultation.readings.kit_on_day import kit_on_day
from tenter.consultation.readings.summary import WIDE_SPREAD, ClothSummary
from tenter.consultation.worth.reach import reach_findings
from tenter.numerals import how_many, listed, number
from tenter.report.words.wording import long_date, sentence
from tenter.report.workshop.workshop_paper import (
    PaperPicture,
    PaperRow,
    PaperSection,
    PaperSwatch,
    WorkshopPaper,
    paper_swatch,
)
from tenter.report.workshop_pictures.coverage_picture import coverage_shown, coverage_svg

_MOST_ROWS = 12  # of a section: more are a list for the screen
_MOST_NAMED = 6  # in one sentence


@dataclass(frozen=True, eq=False)
class CheckedKit:
    """A kit on a day with all that is known of it. kit: with the colours of that day.

    readings: of each cloth the day that its colour comes from. drift: None where there is no book of readings.
    """

    kit: Kit
    method: Method
    day: str
    audit: KitAudit
    readings: tuple[ClothSummary, ...]
    drift: KitDrift | None

    @property
    def drifted(self) -> tuple[ClothDrift, ...]:
        """The cloths that have changed so far that they leave the tests."""
        return tuple(one for one in (self.drift.drifts if self.drift else ()) if one.has_drifted)

    @property
    def wide(self) -> tuple[ClothSummary, ...]:
        """The readings that spread so far that a cloth is to be read again."""
        return tuple(one for one in self.readings if one.is_wide)

    def named(self, cloth: str) -> str:
        """Return a cloth's name with its number; the number alone where the kit does not have it."""
        return cloth_named(self.kit[cloth]) if cloth in self.kit else cloth


def checked_kit(kit: Kit, method: Method, day: str, book: ReadingBook | None = None) -> CheckedKit:
    """Return what is known of a kit at the end of a day (ISO date); readings of later days do not count.

    Raises
    ------
    TenterError
        If the day is none, or a colour cannot be carried to the kit's light.
    """
    last = day_from(day)
    if book is None:
        return CheckedKit(kit, method, last, audit(kit, method), (), None)
    until = ReadingBook(
        tuple(one for one in book.readings if one.day <= last), tuple(one for one in book.washes if one.day <= last)
    )
    now = kit_on_day(kit, until.readings, last)
    drift = kit_drift(until, kit, method)
    return CheckedKit(now.kit, method, last, audit(now.kit, method), tuple(now.taken.values()), drift)


def kit_health(checked: CheckedKit, studio: str = "") -> WorkshopPaper:
    """Return the paper on a kit's health."""
    first = tuple(_first(checked))
    doubles = _of_kinds(checked, FindingKind.NEAR_DUPLICATE, FindingKind.LOOK_ALIKE)
    things = f"{how_many(len(first), 'thing')} to do for your kit"
    sections = (
        PaperSection("What to do first", rows=first, numbered=True),
        _coverage(checked),
        PaperSection("Mixed pairs", *_rows(checked, _of_kinds(checked, FindingKind.MIXED_PAIR))),
        PaperSection("Nearly one cloth", *_rows(checked, doubles)),
        _faded(checked),
        _broken(checked),
        _spread(checked),
        PaperSection("Also to know", *_rows(checked, _also(checked), with_swatches=False)),
        PaperSection("How it was judged", lines=tuple(_how(checked))),
    )
    return WorkshopPaper(
        kind="Kit health",
        title=f"Kit health, {long_date(checked.day)}",
        studio=studio,
        date=checked.day,
        shown_date=long_date(checked.day),
        about=f"{how_many(len(checked.kit), 'cloth')}, read by {checked.method.title}",
        headline=things if first else "Your kit is in order",
        sections=tuple(section for section in sections if section.says_something),
    )


# -- what to do first --------------------------------------------------------------------------------------------------


def _first(checked: CheckedKit) -> Iterator[PaperRow]:
    """Yield what to do, the most urgent first: what spoils an answer today, then what is to be bought."""
    drifted = [one.cloth for one in checked.drifted]
    if drifted:
        new = "its new colour" if len(drifted) == 1 else "their new colours"
        why = f"{_they(drifted)} changed by ΔE00 {number(DRIFTED_FROM, 0)} or more since the first readings."
        yield PaperRow(f"Take {_few(drifted)} out of the tests, or enter {new}.", (why,))
    if checked.drift is not None and checked.drift.pairs:
        pairs = [f"{' and '.join(pair.cloths)}" for pair in checked.drift.pairs]
        said = f"these pairs: {_few(pairs, joint='; ')}" if len(pairs) > 1 else f"{pairs[0]} against each other"
        why = f"{'They match' if len(pairs) > 1 else 'The two match'} no longer, because a cloth has changed."
        yield PaperRow(f"Don’t hold {said}.", (why,))
    wide = [one.cloth for one in checked.wide]
    if wide:
        its = "Its" if len(wide) == 1 else "Their"
        yield PaperRow(f"Read {_few(wide)} again.", (f"{its} readings spread by more than ΔE00 {WIDE_SPREAD:.0f}.",))
    yield from _of_audit(checked.audit)


def _of_audit(found: KitAudit) -> Iterator[PaperRow]:
    mixed = found.of_kind(FindingKind.MIXED_PAIR)
    if mixed:
        pairs = [" and ".join(one.cloths) for one in mixed]
        said = "Don’t rely on this mixed pair" if len(pairs) == 1 else f"Don’t rely on {len(pairs)} mixed pairs"
        yield PaperRow(f"{said}: {_few(pairs, joint='; ')}.", ("Each differs in more than what it is meant to test.",))
    for kind in (FindingKind.NEAR_DUPLICATE, FindingKind.UNMEASURED, FindingKind.TOO_FEW_PAIRS):
        yield from _advised(found.of_kind(kind))
    alike = list(dict.fromkeys(cloth for one in found.of_kind(FindingKind.LOOK_ALIKE) for cloth in one.cloths))
    if alike:
        yield PaperRow(f"Measure {_few(alike)} again.", ("They may be nearly one cloth.",))
    yield from _advised(found.of_kind(FindingKind.TOO_FEW_CLOTHS))
    if found.gaps:
        wanted = [f"{_a(gap)} near {_place(gap)}" for gap in found.gaps]
        yield PaperRow(
            f"Look for {listed(wanted)}.", (f"The widest gaps: {listed([gap.words for gap in found.gaps])}.",)
        )


def _a(gap: Gap) -> str:
    """Return "a red" or "an orange"."""
    return f"{'an' if gap.hue_family[0] in 'aeiou' else 'a'} {gap.hue_family}"


def _place(gap: Gap) -> str:
    L, a, b = (number(value, 0) for value in gap.lab)
    return f"L* {L}, a* {a}, b* {b}"


def _advised(found: Sequence[KitFinding]) -> Iterator[PaperRow]:
    for one in found[:_MOST_NAMED]:
        yield PaperRow(one.advice, (one.text,))


def _few(names: Sequence[str], joint: str = ", ") -> str:
    """Return names in a list, so many that it stays a sentence."""
    more = [f"{len(names) - _MOST_NAMED} more"] if len(names) > _MOST_NAMED else []
    said = [*names[:_MOST_NAMED], *more]
    return listed(said) if joint == ", " else joint.join(said)


def _they(names: Sequence[str]) -> str:
    return "It has" if len(names) == 1 else "They have"


# -- sections ----------------------------------------------------------------------------------------------------------


def _coverage(checked: CheckedKit) -> PaperSection:
    shown = coverage_shown(bench_of(checked.kit, checked.method))
    rows = tuple(
        PaperRow(f"{gap.letter}: {found.text}", (found.advice,), (paper_swatch(place.lab, _a(place)),))
        for gap, place, found in zip(
            shown.gaps, checked.audit.gaps, checked.audit.of_kind(FindingKind.GAP), strict=True
        )
    )
    counts = ", ".join(f"{name} {count}" for name, count in checked.audit.coverage.categories.items())
    picture = PaperPicture(coverage_svg(shown, headed=False), shown.told)
    return PaperSection(
        "What it covers", rows, (f"Measured cloths in each category, without metals: {counts}.",), picture
    )


def _of_kinds(checked: CheckedKit, *kinds: FindingKind) -> tuple[KitFinding, ...]:
    return tuple(one for kind in kinds for one in checked.audit.of_kind(kind))


def _also(checked: CheckedKit) -> tuple[KitFinding, ...]:
    """Return what is said neither among what to do first nor in a section of its own."""
    reach = reach_findings(bench_of(checked.kit, checked.method))
    return (*_of_kinds(checked, FindingKind.HARDLY_VISIBLE, FindingKind.GLOSS, FindingKind.SMALL_KIT), *reach)


def _rows(
    checked: CheckedKit, found: Sequence[KitFinding], with_swatches: bool = True
) -> tuple[tuple[PaperRow, ...], tuple[str, ...]]:
    """Return findings as rows, and a line on those that are left out."""
    rows = tuple(
        PaperRow(one.text, (one.advice,), _swatches(checked, one.cloths[:2]) if with_swatches else ())
        for one in found[:_MOST_ROWS]
    )
    left = len(found) - len(rows)
    return rows, (f"And {left} more; tenter kit audit lists them all.",) if left else ()


def _swatches(checked: CheckedKit, cloths: Sequence[str]) -> tuple[PaperSwatch, ...]:
    lab = checked.kit.bench_colours.lab
    return tuple(paper_swatch(lab[checked.kit.row(cloth)], checked.named(cloth)) for cloth in cloths)


def _faded(checked: CheckedKit) -> PaperSection:
    """Return which cloths have changed, each as it was and as it is."""
    title = "Faded cloths"
    if checked.drift is None:
        return PaperSection(
            title,
            lines=(
                "No readings were given, so nobody knows which cloths have faded. Read each cloth twice a year and "
                "keep the readings in a book (tenter kit readings).",
            ),
        )
    rows = tuple(_faded_row(checked, one) for one in checked.drifted[:_MOST_ROWS])
    return PaperSection(title, rows, tuple(_not_faded(checked.drift)))


def _faded_row(checked: CheckedKit, one: ClothDrift) -> PaperRow:
    then, now = (paper_swatch(day.lab, f"{one.cloth} on {long_date(day.day)}") for day in (one.baseline, one.latest))
    said = f"{sentence(one.direction)}. Grey scale {one.grade.step}."
    times = how_many(len(one.washes), "wash", "washes")
    washed = (f"{times} since.",) if one.washes else ()
    head = f"{checked.named(one.cloth)}: ΔE00 {number(one.delta_e)} since {long_date(one.baseline.day)}"
    return PaperRow(head, (said, *washed, *one.doubts), (then, now))


def _not_faded(drift: KitDrift) -> Iterator[str]:
    steady = [one.cloth for one in drift.drifts if not one.has_drifted]
    if steady:
        yield f"Changed by less than ΔE00 {number(drift.limit, 0)}: {_few(steady)}."
    if not drift.drifts:
        yield "No cloth has readings of two days, so nothing can be compared yet."
    if drift.once:
        yield f"Read on one day alone: {_few(drift.once)}."


def _broken(checked: CheckedKit) -> PaperSection:
    pairs = checked.drift.pairs if checked.drift else ()
    rows = tuple(
        PaperRow(
            f"{checked.named(pair.cloths[0])} and {checked.named(pair.cloths[1])}, for {pair.after.axis}",
            (f"The pair {pair.reason}.",),
            _swatches(checked, pair.cloths),
        )
        for pair in pairs[:_MOST_ROWS]
    )
    return PaperSection("Pairs that no longer match", rows)


def _spread(checked: CheckedKit) -> PaperSection:
    """Return whose readings spread too far, or hold something else to know before the colour is believed."""
    rows = [
        PaperRow(f"{checked.named(one.cloth)}, {long_date(one.day)}", one.warnings)
        for one in checked.readings
        if one.warnings
    ]
    return PaperSection("Readings to look at", tuple(rows[:_MOST_ROWS]))


def _how(checked: CheckedKit) -> Iterator[str]:
    yield "ΔE00 (CIEDE2000) is the size of a colour difference; below 1 it is hardly seen."
    yield (
        f"A cloth leaves the tests at ΔE00 {number(DRIFTED_FROM, 0)}, and is read again where its readings spread by "
        f"more than {WIDE_SPREAD:.0f}: common practice, no source. The grey scale is that of ISO 105-A05: 5 is no "
        "change."
    )
    yield "Gaps are places of a category that a dyed cloth can have and that no cloth of the kit is near."
    if checked.readings:
        count = how_many(len(checked.readings), "cloth")
        has = "has" if len(checked.readings) == 1 else "have"
        yield f"{count} {has} the colour of readings up to this day; the others are as in the kit file."
