"""The finding: verdict, traits, every category's probability, and the neighbours."""

from dataclasses import dataclass

from tenter.arrays import steady
from tenter.consultation.conventions.method import Method
from tenter.consultation.findings.border import BorderCheck
from tenter.consultation.findings.verdict import Verdict
from tenter.consultation.reading.online import advice
from tenter.consultation.reading.tally import tally
from tenter.consultation.sitting.sitting import Sitting
from tenter.consultation.words import terms as trade
from tenter.consultation.words.answers import View
from tenter.consultation.words.odds_words import EDGE
from tenter.language import N_, _, as_written, in_a_row, ngettext, pgettext
from tenter.report.reading.trait_lines import TraitLine, trait_line
from tenter.report.words import terms
from tenter.report.words.doubts import doubt_words
from tenter.report.words.leading import leading_trait, middle_undertone
from tenter.report.words.made import made
from tenter.report.words.marks import Mark, Statement
from tenter.report.words.wording import printed_percent, sentence

MOST_DRAWN = 12  # lines of probabilities beside the traits: more do not fit on the sheet's first page

PROVISIONAL = N_("This reading is provisional: it is looked at again in adulthood.")


@dataclass(frozen=True, slots=True)
class CategoryLine:
    """One category's probability, 0 to 1.

    `role` tells what it is in this finding, or is empty; the likeliest is the first.
    """

    name: str
    season: str
    probability: float
    percent: str
    role: str
    is_first: bool = False


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
    """Return the finding of a sitting; a minor's is said to be provisional."""
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
        traits=tuple(trait_line(t) for t in verdict.traits.values()),
        categories=categories,
        drawn=drawn(categories),
        is_between=verdict.is_between,
    )


def _headline(verdict: Verdict) -> str:
    return sentence(verdict.headline if verdict.is_open else terms.season(verdict.category))


def _odds(verdict: Verdict) -> str:
    if not verdict.is_open:
        return in_a_row([str(trade.odds(verdict.odds_word)), printed_percent(verdict.probability)])
    if verdict.is_between:
        said = N_("between: {category} {odds}, {other} {other_odds}")
    elif len(verdict.nearly_as_likely) == 2:
        said = N_("open: {category} {odds}, {other} {other_odds}")
    else:
        said = N_("open: {category} {odds}, {other} {other_odds}, others nearly as likely")
    return _(said, **_of_likeliest_two(verdict))


def _of_likeliest_two(verdict: Verdict) -> dict[str, str]:
    odds, other_odds = (printed_percent(verdict.probabilities[one]) for one in (verdict.category, verdict.runner_up))
    return {**terms.likeliest_two(verdict), "odds": odds, "other_odds": other_odds}


def _season(verdict: Verdict) -> list[Statement]:
    season = {"season": terms.season(verdict.season), "odds": printed_percent(verdict.season_probability)}
    if verdict.season == verdict.category:
        text = _("{season} as a season: {odds}. This method has seasons only.", **season)
    else:
        text = _("{season} as a season: {odds}.", **season)
    return [Statement(sentence(text), Mark.PREDICTED)]


def _doubts(sitting: Sitting, verdict: Verdict, minor: bool) -> list[Statement]:
    told = [
        *_between_two(verdict),
        *_of_photographs(sitting, verdict),
        *doubt_words(verdict),
        *_of_hues(verdict),
    ]
    if sitting.uses_face_prior:
        told.append(
            _("A weak hint from the measured hue of the skin was switched on; it says something about undertone only.")
        )
    if minor:
        told.append(_(PROVISIONAL))
    return [Statement(text, Mark.PREDICTED) for text in told]


def _between_two(verdict: Verdict) -> list[str]:
    """Return of which of two categories the sheet speaks, and that they are not told apart."""
    told = []
    if verdict.is_between:
        told.append(_("The reasons refer to {category}, which is ahead.", category=terms.season(verdict.category)))
    elif verdict.is_open:
        told.append(_("What follows assumes {category}, which is ahead.", category=terms.season(verdict.category)))
    if verdict.edge and not verdict.is_between:
        told.append(
            _(
                "The client sits between {category} and {other}: the first is less than {times} as likely, and "
                "this sitting does not decide between them.",
                times=_times(EDGE),
                **terms.likeliest_two(verdict),
            )
        )
    return told


def _times(number: float) -> str:
    """Return 'twice' or '2.5 times', as it is written before 'as likely'."""
    return (
        pgettext("as likely", "twice")
        if number == 2
        else pgettext("as likely", "{number} times", number=as_written(f"{number:g}"))
    )


def _of_photographs(sitting: Sitting, verdict: Verdict) -> list[str]:
    """Return what photographs take from how sure it is."""
    if verdict.photographs_alone:
        return [advice(sitting.face is not None)]
    photographed = sum(e.judgement.view is View.PHOTOGRAPH for e in sitting.evidence)
    if not photographed:
        return []
    return [
        ngettext(
            "{count} of {every} comparisons was made on a photograph, which is less sure than cloth in the studio's "
            "light.",
            "{count} of {every} comparisons were made on a photograph, which is less sure than cloth in the studio's "
            "light.",
            photographed,
            every=len(sitting.evidence),
        )
    ]


def _of_hues(verdict: Verdict) -> list[str]:
    """Return which hues take more or less clarity than the others."""
    more = N_("Hue-dependent: on this face {hue} takes more clarity than the other hues.")
    less = N_("Hue-dependent: on this face {hue} takes less clarity than the other hues.")
    return [_(more if o.mean > 0 else less, hue=terms.hue(o.family)) for o in verdict.hue_dependent]


def _neighbours(verdict: Verdict) -> tuple[Statement, ...]:
    names = terms.likeliest_two(verdict)
    odds = printed_percent(verdict.probabilities[verdict.runner_up])
    second = _("Second by the odds: {other}, {odds}.", other=names["other"], odds=odds)
    if verdict.trait_neighbour is None:
        return (Statement(second, Mark.PREDICTED),)
    neighbour = terms.season(verdict.trait_neighbour)
    shared = _(
        "Neighbour of {category} that shares its leading trait: {neighbour}, {odds}.",
        category=names["category"],
        neighbour=neighbour,
        odds=printed_percent(verdict.probabilities[verdict.trait_neighbour]),
    )
    differ = (
        _("By what was seen the neighbour is {other}; by convention it is {neighbour}.", neighbour=neighbour, **names)
        if verdict.neighbours_differ
        else _("It is also second by the odds.")
    )
    told = (Statement(second, Mark.PREDICTED), Statement(f"{shared} {differ}", Mark.CUSTOM))
    if verdict.border is None or verdict.border.check is BorderCheck.UNTESTED:
        return told
    return (*told, Statement(verdict.border.text, Mark.SEEN))


def _category_line(method: Method, verdict: Verdict, category: str) -> CategoryLine:
    role = []
    if category == verdict.category:
        role.append(pgettext("of a category", "first"))
    if category == verdict.runner_up:
        role.append(pgettext("of a category", "second"))
    if category == verdict.trait_neighbour:
        role.append(pgettext("of a category", "shares the trait"))
    return CategoryLine(
        name=terms.season(category),
        season=method.season_of[category],
        probability=verdict.probabilities[category],
        percent=printed_percent(verdict.probabilities[category]),
        role=in_a_row(role),
        is_first=category == verdict.category,
    )


def drawn(categories: tuple[CategoryLine, ...]) -> tuple[CategoryLine, ...]:
    """Return the lines that a chart has room for: all, or the likeliest in the method's order and the rest as one."""
    if len(categories) <= MOST_DRAWN:
        return categories
    foremost = sorted(categories, key=lambda line: (not line.role, -steady(line.probability)))[: MOST_DRAWN - 1]
    rest = [line for line in categories if line not in foremost]
    together = sum(line.probability for line in rest)
    return (
        *(line for line in categories if line in foremost),
        CategoryLine(
            ngettext("{count} other", "{count} others", len(rest)),
            "",
            together,
            printed_percent(together),
            pgettext("of categories", "together"),
        ),
    )


def record_note(sitting: Sitting) -> str:
    """Return how many entries the reading rests on and what was kept out of it."""
    return ngettext(
        "{made}. Method: {method}. Kit: {count} cloth.",
        "{made}. Method: {method}. Kit: {count} cloths.",
        len(sitting.kit),
        made=sentence(made(tally(sitting.entries))),
        method=terms.method_title(sitting.method.title),
    )
