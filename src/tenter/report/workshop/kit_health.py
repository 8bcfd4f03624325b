"""Kit health: what is said of a kit on a day: what to do first, what it covers and lacks, and what has changed."""

from collections.abc import Iterator, Sequence

from tenter.consultation.fading.drift import DRIFTED_FROM, ClothDrift
from tenter.consultation.fading.kit_drift import KitDrift
from tenter.consultation.laid_out.audit import FindingKind, KitFinding
from tenter.consultation.laid_out.bench import bench_of
from tenter.consultation.laid_out.coverage import Gap
from tenter.consultation.readings.summary import WIDE_SPREAD
from tenter.consultation.worth.reach import reach_findings
from tenter.consultation.worth.shopping import KitWorth
from tenter.language import _, all_of, in_a_row, local_number, long_date, ngettext, pgettext
from tenter.report.words import terms
from tenter.report.words.wording import sentence
from tenter.report.workshop.checked_kit import CheckedKit
from tenter.report.workshop.gain_words import GAINS_SAID, NATS_SAID, gain_numbers, gain_words, told_now
from tenter.report.workshop.what_first import few_named, first_things, lab_place, with_article
from tenter.report.workshop.workshop_paper import (
    PaperPicture,
    PaperRow,
    PaperSection,
    PaperSwatch,
    WorkshopPaper,
    paper_swatch,
)
from tenter.report.workshop_pictures.coverage_picture import coverage_shown, coverage_svg
from tenter.report.workshop_pictures.drift_picture import drift_shown, drift_svg

_MOST_DRAWN = 3  # cloths that have changed: the worst, as each takes a third of a page
_MOST_ROWS = 12  # of a section: more are a list for the screen


def kit_health(checked: CheckedKit, studio: str = "") -> WorkshopPaper:
    """Return the paper on a kit's health."""
    first = tuple(first_things(checked))
    doubles = _of_kinds(checked, FindingKind.NEAR_DUPLICATE, FindingKind.LOOK_ALIKE)
    things = ngettext("{count} thing to do for your kit", "{count} things to do for your kit", len(first))
    sections = (
        PaperSection(_("What to do first"), rows=first, numbered=True),
        _coverage(checked),
        *([_to_buy(checked.worth)] if checked.worth is not None else []),
        PaperSection(_("Mixed pairs"), *_rows(checked, _of_kinds(checked, FindingKind.MIXED_PAIR))),
        PaperSection(_("Nearly one cloth"), *_rows(checked, doubles)),
        _faded(checked),
        _broken(checked),
        _spread(checked),
        PaperSection(_("Also to know"), *_rows(checked, _also(checked), with_swatches=False)),
        PaperSection(_("How it was judged"), lines=tuple(_how(checked))),
    )
    return WorkshopPaper(
        kind=_("Kit health"),
        title=_("Kit health, {day}", day=long_date(checked.day)),
        studio=studio,
        date=checked.day,
        shown_date=long_date(checked.day),
        about=ngettext(
            "{count} cloth, read by {method}",
            "{count} cloths, read by {method}",
            len(checked.kit),
            method=pgettext("method", checked.method.title),
        ),
        headline=things if first else _("Your kit is in order"),
        sections=tuple(section for section in sections if section.says_something),
    )


def _coverage(checked: CheckedKit) -> PaperSection:
    shown = coverage_shown(bench_of(checked.kit, checked.method))
    rows = tuple(
        PaperRow(
            f"{gap.letter}: {found.text}",
            tuple(_of_gap(checked, place, found)),
            (paper_swatch(place.lab, with_article(terms.hue(place.hue_family))),),
        )
        for gap, place, found in zip(
            shown.gaps, checked.audit.gaps, checked.audit.of_kind(FindingKind.GAP), strict=True
        )
    )
    counts = in_a_row([f"{terms.season(name)} {n}" for name, n in checked.audit.coverage.categories.items()])
    picture = PaperPicture(coverage_svg(shown, headed=False), shown.told)
    return PaperSection(
        _("What it covers"),
        rows,
        (_("Measured cloths in each category, without metals: {counts}.", counts=counts),),
        picture,
    )


def _of_gap(checked: CheckedKit, gap: Gap, found: KitFinding) -> Iterator[str]:
    """Yield what to look for in a gap; where its gain was worked out, that, and no advice to fill it for nothing."""
    gain = next((one.gain for one in checked.worth.gaps if one.gap == gap), None) if checked.worth else None
    if gain is not None and not gain.is_sure:
        yield _("A cloth there is not shown to help the verdict.")
        return
    yield found.advice
    if gain is not None:
        yield _("A cloth there adds {gain} to a comparison.", gain=gain_numbers(gain))


def _to_buy(worth: KitWorth) -> PaperSection:
    """Return what to buy, each colour with what it adds once those before it are there."""
    rows = tuple(
        PaperRow(
            _("{colour}, near {place}", colour=sentence(cloth.words), place=lab_place(cloth.lab)),
            (_("{more} It adds {gain}.", more=gain_words(cloth), gain=gain_numbers(cloth.gain)),),
            (paper_swatch(cloth.lab, with_article(cloth.words)),),
        )
        for cloth in worth.to_buy
    )
    nothing = () if rows else (_("No single cloth is sure to tell you more than those you have."),)
    return PaperSection(_("What to buy"), rows, (*nothing, told_now(worth), str(NATS_SAID), str(GAINS_SAID)))


def _of_kinds(checked: CheckedKit, *kinds: FindingKind) -> tuple[KitFinding, ...]:
    return tuple(one for kind in kinds for one in checked.audit.of_kind(kind))


def _also(checked: CheckedKit) -> tuple[KitFinding, ...]:
    """Return what is said neither among what to do first nor in a section of its own."""
    reach = reach_findings(bench_of(checked.kit, checked.method))
    return (
        *_of_kinds(
            checked, FindingKind.MEASURE_AGAIN, FindingKind.HARDLY_VISIBLE, FindingKind.GLOSS, FindingKind.SMALL_KIT
        ),
        *reach,
    )


def _rows(
    checked: CheckedKit, found: Sequence[KitFinding], with_swatches: bool = True
) -> tuple[tuple[PaperRow, ...], tuple[str, ...]]:
    """Return findings as rows, and a line on those that are left out."""
    rows = tuple(
        PaperRow(one.text, (one.advice,), _swatches(checked, one.cloths[:2]) if with_swatches else ())
        for one in found[:_MOST_ROWS]
    )
    left = len(found) - len(rows)
    more = _("And {left} more: the kit’s page in the studio, or tenter kit audit, lists them all.", left=left)
    return rows, (more,) if left else ()


def _swatches(checked: CheckedKit, cloths: Sequence[str]) -> tuple[PaperSwatch, ...]:
    lab = checked.kit.bench_colours.lab
    return tuple(paper_swatch(lab[checked.kit.row(cloth)], checked.named(cloth)) for cloth in cloths)


def _faded(checked: CheckedKit) -> PaperSection:
    """Return which cloths have changed, each as it was and as it is."""
    title = _("Faded cloths")
    if checked.drift is None:
        return PaperSection(
            title,
            lines=(
                _(
                    "No readings were given, so nobody knows which cloths have faded. Read each cloth twice a year and "
                    "enter the readings on the kit’s page in the studio, or keep them in a book (tenter kit readings)."
                ),
            ),
        )
    drawn, others = checked.drifted[:_MOST_DRAWN], checked.drifted[_MOST_DRAWN:_MOST_ROWS]
    rows = (*(_drawn_row(checked, one) for one in drawn), *(_faded_row(checked, one) for one in others))
    return PaperSection(title, rows, tuple(_not_faded(checked.drift)))


def _drawn_row(checked: CheckedKit, one: ClothDrift) -> PaperRow:
    """Return one of the cloths that have changed most, drawn: then and now, and over the days it was read on."""
    shown = drift_shown(checked.book.readings, checked.book.washes, one.cloth)
    picture = PaperPicture(drift_svg(shown, headed=False), shown.told)
    return PaperRow(checked.named(one.cloth), one.doubts, (), picture)


def _faded_row(checked: CheckedKit, one: ClothDrift) -> PaperRow:
    then, now = (
        paper_swatch(day.lab, _("{cloth} on {day}", cloth=one.cloth, day=long_date(day.day)))
        for day in (one.baseline, one.latest)
    )
    said = _("{change}. Grey scale {step}.", change=sentence(one.direction), step=one.grade.step)
    washed = (ngettext("{count} wash since.", "{count} washes since.", len(one.washes)),) if one.washes else ()
    head = _(
        "{cloth}: ΔE00 {apart} since {day}",
        cloth=checked.named(one.cloth),
        apart=local_number(one.delta_e, 1),
        day=long_date(one.baseline.day),
    )
    return PaperRow(head, (said, *washed, *one.doubts), (then, now))


def _not_faded(drift: KitDrift) -> Iterator[str]:
    steady = [one.cloth for one in drift.drifts if not one.has_drifted]
    if steady:
        limit = local_number(drift.limit, 0)
        yield _("Changed by less than ΔE00 {limit}: {cloths}.", limit=limit, cloths=few_named(steady))
    if not drift.drifts:
        yield _("No cloth has readings of two days, so nothing can be compared yet.")
    if drift.once:
        yield _("Read on one day alone: {cloths}.", cloths=few_named(drift.once))


def _broken(checked: CheckedKit) -> PaperSection:
    pairs = checked.drift.pairs if checked.drift else ()
    rows = tuple(
        PaperRow(
            _(
                "{both}, for {axis}",
                both=all_of([checked.named(cloth) for cloth in pair.cloths]),
                axis=pgettext("axis", pair.after.axis),
            ),
            (_("The pair {reason}.", reason=pair.reason),),
            _swatches(checked, pair.cloths),
        )
        for pair in pairs[:_MOST_ROWS]
    )
    return PaperSection(_("Pairs that no longer match"), rows)


def _spread(checked: CheckedKit) -> PaperSection:
    """Return whose readings spread too far, or hold something else to know before the colour is believed."""
    rows = [
        PaperRow(_("{cloth}, {day}", cloth=checked.named(one.cloth), day=long_date(one.day)), one.warnings)
        for one in checked.readings
        if one.warnings
    ]
    return PaperSection(_("Readings to look at"), tuple(rows[:_MOST_ROWS]))


def _how(checked: CheckedKit) -> Iterator[str]:
    yield _("ΔE00 (CIEDE2000) is the size of a colour difference; below 1 it is hardly seen.")
    yield _(
        "A cloth leaves the tests at ΔE00 {limit}, and is read again where its readings spread by more than {spread}: "
        "common practice, no source. The grey scale is that of ISO 105-A05: 5 is no change.",
        limit=local_number(DRIFTED_FROM, 0),
        spread=local_number(WIDE_SPREAD, 0),
    )
    yield _("Gaps are places of a category that a dyed cloth can have and that no cloth of the kit is near.")
    if checked.readings:
        yield ngettext(
            "{count} cloth has the colour of readings up to this day; the others are as in the kit file.",
            "{count} cloths have the colour of readings up to this day; the others are as in the kit file.",
            len(checked.readings),
        )
