"""The light report: pass or what to correct, then the numbers, then what the light does to the kit and to skin."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from tenter.consultation.cloths.kit import Kit
from tenter.language import N_, _, long_date
from tenter.light.check import LightCheck, LightCriterion
from tenter.light.light_drift import LightChange
from tenter.light.light_values import LightBasis
from tenter.light.on_kit import LightOnKit, LookShift
from tenter.report.on_screen.light_words import (
    LIGHT_VALUES,
    MOST_CHANGED,
    MOST_CLOTHS,
    TO_CORRECT,
    hue_lines,
    light_parts,
    not_drawn,
)
from tenter.report.words.wording import sentence
from tenter.report.workshop.workshop_paper import (
    PaperPicture,
    PaperRow,
    PaperSection,
    PaperSwatch,
    WorkshopPaper,
    paper_swatch,
)
from tenter.report.workshop_pictures.light_picture import LightShown, light_svg

_KNOWN_BY = {
    LightBasis.SPECTRUM: N_("From its spectrum, {file}"),
    LightBasis.METER: N_("From a meter’s values"),
    LightBasis.PHOTOGRAPH: N_("From a photograph of the card, {file}"),
}
_BY_DAY = N_("Left of each two colours: by daylight (D65). Right: in this light, for an eye that has adapted to it.")


@dataclass(frozen=True, eq=False)
class ReportedLight:
    """A checked light with what is known beside it.

    changes: since last time. effect, kit: what it does to a kit, where one was given. shown: its picture, where its
    spectrum is known.
    """

    check: LightCheck
    changes: tuple[LightChange, ...] = ()
    effect: LightOnKit | None = None
    kit: Kit | None = None
    shown: LightShown | None = None


def light_report(light: ReportedLight, date: str, studio: str = "") -> WorkshopPaper:
    """Return the paper on a light, read on a day (ISO date)."""
    parts = light_parts(light.check, light.changes, light.effect)
    return WorkshopPaper(
        kind=_("The light you drape in"),
        title=_("The light, {date}", date=long_date(date)),
        studio=studio,
        date=date,
        shown_date=long_date(date),
        about=_(_KNOWN_BY[light.check.values.basis], file=Path(light.check.values.source).name),
        headline=light.check.in_brief.rstrip(".。"),
        sections=tuple(section for heading, lines in parts for section in _sections(light, heading, lines)),
    )


def _sections(light: ReportedLight, heading: str, lines: Sequence[str]) -> Iterator[PaperSection]:
    """Yield the section of a heading, and one on hues after the picture of a spectrum, which fills half a page."""
    if heading != str(LIGHT_VALUES) or light.shown is None:
        yield _section(light, heading, lines)
        return
    of_hues = hue_lines(light.check.values)
    rest = tuple(sentence(line) for line in not_drawn(lines) if line not in of_hues)
    picture = PaperPicture(light_svg(light.shown, headed=False), light.shown.told)
    yield PaperSection(heading, lines=rest, picture=picture, together=True)
    if of_hues:
        yield PaperSection(_("Hues in this light"), lines=tuple(map(sentence, of_hues)), together=True)


def _section(light: ReportedLight, heading: str, lines: Sequence[str]) -> PaperSection:
    if heading == str(TO_CORRECT):
        return PaperSection(heading, tuple(_fix(criterion) for criterion in light.check.to_fix), numbered=True)
    if heading == str(MOST_CHANGED) and light.effect is not None and light.kit is not None:
        cloths = light.effect.cloths[:MOST_CLOTHS]
        rows = tuple(
            PaperRow(line, (), _two_looks(shift, light.kit)) for shift, line in zip(cloths, lines, strict=False)
        )
        return PaperSection(heading, rows, (_(_BY_DAY), *lines[len(rows) :]))
    return PaperSection(heading, lines=tuple(map(sentence, lines)))


def _fix(criterion: LightCriterion) -> PaperRow:
    """Return what is to be corrected: what was found, what is wanted, and what to do."""
    return PaperRow(
        f"{criterion.name}: {criterion.found}", (_("Wanted: {wanted}.", wanted=criterion.asked), criterion.fix)
    )


def _two_looks(shift: LookShift, kit: Kit) -> tuple[PaperSwatch, PaperSwatch]:
    by_day = kit.bench_colours.lab[kit.row(shift.name)]
    here = by_day + np.array(shift.delta_lab)
    return paper_swatch(by_day, _("{cloth} by daylight", cloth=shift.name)), paper_swatch(
        here, _("{cloth} in this light", cloth=shift.name)
    )
