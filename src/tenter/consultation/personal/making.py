"""The personal palette of a client, from a sitting and its verdict: what every paper, page and export shows."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from tenter.arrays import FloatArray, steady
from tenter.consultation.axes import Axis
from tenter.consultation.colours.borders import NEAR_FROM
from tenter.consultation.colours.colours import PaletteColour, Part, PersonalPalette, Suited
from tenter.consultation.colours.naming import distinct_names
from tenter.consultation.findings.named import as_named
from tenter.consultation.findings.verdict import Verdict
from tenter.consultation.palette.palette import Palette, palette
from tenter.consultation.personal.borrowing import borrowed_colours
from tenter.consultation.personal.choosing import Choice, Chooser, Pool, basis_of, pool, side_of
from tenter.consultation.personal.hanging import as_hung
from tenter.consultation.personal.metal_colours import metal_colours
from tenter.consultation.personal.missing_hues import missing_hues
from tenter.consultation.personal.staples import staples
from tenter.consultation.personal.suitability import Known, condensed, moved_to
from tenter.consultation.personal.tried import Tried, nothing_tried, tried
from tenter.consultation.personal.ways import chosen
from tenter.consultation.reading.reading import Reading
from tenter.consultation.wishes.honouring import honoured
from tenter.consultation.wishes.wishes import NO_WISHES, Wishes


def known_of(sitting: Reading, verdict: Verdict) -> Known:
    """Return what is known of the client of a sitting; where the consultant names another result, carried there."""
    known = condensed(sitting.posterior(), sitting.method)
    named = as_named(sitting, verdict)
    if named is None:
        return known
    return moved_to(known, np.array([named.traits[axis].mean for axis in Axis]))


def personal_palette(sitting: Reading, verdict: Verdict, wishes: Wishes = NO_WISHES) -> PersonalPalette:
    """Return the personal palette that follows from a sitting and its verdict, and honours the client's wishes."""
    judged = as_named(sitting, verdict)
    told = judged or verdict
    known = known_of(sitting, verdict)
    worn = palette(sitting, told)
    trial = tried(sitting, worn, known)
    categories = (judged.category,) if judged else categories_of(verdict)
    made = palette_of(known, trial, categories, told.probabilities, worn, wishes)
    return replace(made, odds_word=told.odds_word, by_judgement=judged is not None)


def categories_of(verdict: Verdict) -> tuple[str, ...]:
    """Return the category that a verdict names, the two that the client is between, or none while unfinished."""
    return verdict.between or (() if verdict.not_finished else (verdict.category,))


def palette_of(
    known: Known,
    trial: Tried | None = None,
    categories: Sequence[str] = (),
    probabilities: Mapping[str, float] | None = None,
    worn: Palette | None = None,
    wishes: Wishes = NO_WISHES,
) -> PersonalPalette:
    """Return the palette of a client of whom something is known, and perhaps some cloths were tried.

    Between two categories, a colour is as good as it is for the one that it suits less: the palette of what both share.
    probabilities: of every category, 0 to 1; those of what is known where left out.
    """
    between = [known.within(c) for c in categories] if len(categories) > 1 else []
    shown = trial or nothing_tried()
    offered = pool(known, shown, between)
    side, chances = side_of(known), dict(probabilities or known.masses)
    chooser = Chooser.of(offered, wishes)
    colours = as_hung(_named(offered, chosen(chooser, between, _card_to_beat(categories, chances))))
    borrowed = borrowed_colours(offered, chooser, colours, categories)
    return PersonalPalette(
        colours=colours,
        metals=metal_colours(known, worn, side),
        borrowed=borrowed,
        missing=missing_hues(known, colours, side),
        staples=staples(known, colours, shown, wishes),
        categories=tuple(categories),
        probabilities=chances,
        honoured=honoured(wishes, colours, borrowed, chooser.quotas.total),
    )


def _card_to_beat(categories: Sequence[str], probabilities: Mapping[str, float]) -> str:
    """Return the category whose fixed card the client would be given: the one named, or else the most probable."""
    return categories[0] if categories else max(probabilities, key=lambda c: steady(probabilities[c]))


def _named(offered: Pool, choices: Sequence[Choice]) -> list[PaletteColour]:
    rows = [c.row for c in choices]
    expected = offered.known.suitability(offered.places[rows])
    intervals = offered.known.interval(offered.places[rows])
    names = distinct_names([offered.names[row] for row in rows])
    return [
        _colour(offered, choice, name, float(at), within)
        for choice, name, at, within in zip(choices, names, expected, intervals, strict=True)
    ]


def _colour(offered: Pool, choice: Choice, name: str, expected: float, interval: FloatArray) -> PaletteColour:
    row, was_tried = choice.row, choice.row < offered.tried
    L, a, b = (float(v) for v in offered.lab[row])
    return PaletteColour(
        lab=(L, a, b),
        name=name,
        hue_family=offered.families[row],
        part=choice.part,
        fit=Suited.BEST if choice.part is Part.NEAR_FACE or expected >= NEAR_FROM else Suited.YES,
        basis=basis_of(offered, row),
        suitability=expected,
        interval=(float(interval[0]), float(interval[1])),
        cloth=offered.trial.drapes[row].id if was_tried else None,
        answer=offered.trial.answers[row] if was_tried else "",
        title=choice.title,
    )
