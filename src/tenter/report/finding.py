"""The finding: verdict, traits, every category's probability, and the neighbours."""

from dataclasses import dataclass

from tenter.arrays import steady
from tenter.consultation.answers import View
from tenter.consultation.border import BorderCheck
from tenter.consultation.method import Method
from tenter.consultation.odds_words import Degree
from tenter.consultation.online import advice
from tenter.consultation.sitting import Sitting
from tenter.consultation.tally import tally
from tenter.consultation.traits import trait_word
from tenter.consultation.verdict import Trait, Verdict
from tenter.language import N_, _, ngettext
from tenter.numerals import how_many, signed
from tenter.report.doubts import doubt_words
from tenter.report.leading import leading_trait, middle_undertone
from tenter.report.made import made
from tenter.report.marks import Mark, Statement
from tenter.report.wording import percent, sentence

MOST_DRAWN = 12  # lines of probabilities beside the traits: more do not fit on the sheet's first page
AXIS_REACH = 2.6  # bench units drawn to each side; an interval that goes further is drawn to the end

PROVISIONAL = N_("This reading is provisional: it is looked at again in adulthood.")


@dataclass(frozen=True, slots=True)
class TraitLine:
    """One trait: in words, in bench units, and as shares of the drawn axis from its low end (0) to its high end (1)."""

    axis: str
    text: str
    low_end: str
    high_end: str
    numbers: str
    note: str
    at: float
    low: float
    high: float

    @property
    def width(self) -> float:
        """How much of the drawn axis the interval takes."""
        return self.high - self.low


@dataclass(frozen=True, slots=True)
class CategoryLine:
    """One category's probability. `role` tells what it is in this finding, or is empty."""

    name: str
    season: str
    probability: float
    percent: str
    role: str


@dataclass(frozen=True, slots=True)
class Finding:
    """What the sitting came to. `drawn`: the categories that a chart has room for, and of many the rest as one."""

    headline: str
    odds: str
    lead: Statement
    statements: tuple[Statement, ...]
    neighbours: tuple[Statement, ...]
    traits: tuple[TraitLine, ...]
    categories: tuple[CategoryLine, ...]
    drawn: tuple[CategoryLine, ...]
    is_between: bool = False
    odds_mark: Mark = Mark.PREDICTED
    named: tuple[Statement, ...] = ()  # a result that the consultant named and the odds did not


def finding(sitting: Sitting, verdict: Verdict, minor: bool) -> Finding:
    """Return the finding of a sitting."""
    categories = tuple(_category_line(sitting.method, verdict, c) for c in sitting.method.categories)
    return Finding(
        headline=_headline(verdict),
        odds=_odds(verdict),
        lead=leading_trait(sitting.method, verdict),
        statements=(
            *_season(verdict),
            *middle_undertone(sitting.method, verdict),
            Statement(verdict.stop.why, Mark.PREDICTED),
            *_doubts(sitting, verdict, minor),
        ),
        neighbours=_neighbours(verdict),
        traits=tuple(_trait_line(t) for t in verdict.traits.values()),
        categories=categories,
        drawn=drawn(categories),
        is_between=verdict.is_between,
    )


def _headline(verdict: Verdict) -> str:
    return sentence(verdict.headline) if verdict.is_open else sentence(verdict.category)


def _odds(verdict: Verdict) -> str:
    if verdict.is_open:
        first, second = (percent(verdict.probabilities[c]) for c in (verdict.category, verdict.runner_up))
        word = "between" if verdict.is_between else "open"
        others = "" if verdict.is_between or len(verdict.nearly_as_likely) == 2 else ", others nearly as likely"
        return f"{word}: {verdict.category} {first}, {verdict.runner_up} {second}{others}"
    return f"{verdict.odds_word}, {percent(verdict.probability)}"


def _season(verdict: Verdict) -> list[Statement]:
    season, p = sentence(verdict.season), percent(verdict.season_probability)
    if verdict.season == verdict.category:
        text = f"{season} as a season: {p}. This method reads seasons and nothing finer."
        return [Statement(text, Mark.PREDICTED)]
    return [Statement(f"{season} as a season: {p}.", Mark.PREDICTED)]


def _doubts(sitting: Sitting, verdict: Verdict, minor: bool) -> list[Statement]:
    told = []
    if verdict.is_open:
        ahead = "The reasons speak of" if verdict.is_between else "What follows assumes"
        told.append(f"{ahead} {verdict.category}, which is ahead.")
    if verdict.edge and not verdict.is_between:
        told.append(
            f"The client sits between {verdict.category} and {verdict.runner_up}: the first is less than twice as "
            "likely, and this sitting does not tell them apart."
        )
    if verdict.photographs_alone:
        told.append(advice(sitting.face is not None))
    photographed = sum(e.judgement.view is View.PHOTOGRAPH for e in sitting.evidence)
    if photographed and not verdict.photographs_alone:
        told.append(
            f"{photographed} of {len(sitting.evidence)} comparisons were made on a photograph, which is less sure than "
            "cloth in the studio's light."
        )
    told += doubt_words(verdict)
    for offset in verdict.hue_dependent:
        more = "more" if offset.mean > 0 else "less"
        told.append(f"Hue-dependent: on this face {offset.family} takes {more} clarity than the other hues.")
    if sitting.uses_face_prior:
        told.append("A weak hint from the measured hue of the skin was switched on; it speaks of undertone alone.")
    if minor:
        told.append(_(PROVISIONAL))
    return [Statement(text, Mark.PREDICTED) for text in told]


def _neighbours(verdict: Verdict) -> tuple[Statement, ...]:
    second = f"Second by the odds: {verdict.runner_up}, {percent(verdict.probabilities[verdict.runner_up])}."
    if verdict.trait_neighbour is None:
        return (Statement(second, Mark.PREDICTED),)
    p = percent(verdict.probabilities[verdict.trait_neighbour])
    shared = f"Neighbour of {verdict.category} that shares its leading trait: {verdict.trait_neighbour}, {p}."
    differ = (
        f"By what was seen the neighbour is {verdict.runner_up}; by convention it is {verdict.trait_neighbour}."
        if verdict.neighbours_differ
        else "It is the same one that comes second by the odds."
    )
    told = (Statement(second, Mark.PREDICTED), Statement(f"{shared} {differ}", Mark.CUSTOM))
    if verdict.border is None or verdict.border.check is BorderCheck.UNTESTED:
        return told
    return (*told, Statement(verdict.border.text, Mark.SEEN))


def _trait_line(trait: Trait) -> TraitLine:
    low, high = trait.interval
    return TraitLine(
        axis=sentence(trait.axis),
        text=str(trait.degree) if trait.degree is Degree.MIDDLE else str(trait),
        low_end=str(trait_word(trait.axis, -1)),
        high_end=str(trait_word(trait.axis, 1)),
        numbers=f"{signed(trait.mean)} ({signed(low)} to {signed(high)})",
        note=_middle(low, high),
        at=axis_share(trait.mean),
        low=axis_share(low),
        high=axis_share(high),
    )


def _middle(low: float, high: float) -> str:
    """Say of an interval as it is printed, to one decimal, whether the middle is within it or at its end."""
    if round(low, 1) < 0 < round(high, 1):
        return "the interval crosses the middle"
    return "the interval reaches the middle" if 0 in (round(low, 1), round(high, 1)) else ""


def axis_share(position: float) -> float:
    """Return where a position in bench units lies on the drawn axis, 0 to 1."""
    return min(1.0, max(0.0, (position + AXIS_REACH) / (2 * AXIS_REACH)))


def _category_line(method: Method, verdict: Verdict, category: str) -> CategoryLine:
    roles = {verdict.category: "first", verdict.runner_up: "second"}
    role = [roles[category]] if category in roles else []
    if category == verdict.trait_neighbour:
        role.append("shares the trait")
    p = verdict.probabilities[category]
    return CategoryLine(category, method.season_of[category], p, percent(p), ", ".join(role))


def drawn(categories: tuple[CategoryLine, ...]) -> tuple[CategoryLine, ...]:
    """Return the lines that a chart has room for: all, or the likeliest in the method's order and the rest as one."""
    if len(categories) <= MOST_DRAWN:
        return categories
    foremost = sorted(categories, key=lambda line: (not line.role, -steady(line.probability)))[: MOST_DRAWN - 1]
    rest = [line for line in categories if line not in foremost]
    together = sum(line.probability for line in rest)
    return (
        *(line for line in categories if line in foremost),
        CategoryLine(how_many(len(rest), "other"), "", together, percent(together), "together"),
    )


def record_note(sitting: Sitting) -> str:
    """Return how many entries the reading rests on and what was kept out of it."""
    return ngettext(
        "{made}. Method: {method}. Kit: {count} cloth.",
        "{made}. Method: {method}. Kit: {count} cloths.",
        len(sitting.kit),
        made=sentence(made(tally(sitting.entries))),
        method=sitting.method.title,
    )
