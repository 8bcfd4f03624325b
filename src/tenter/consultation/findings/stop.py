"""Whether to stop, in words: what is owed, how long it takes, and how far one more answer would move the odds."""

from dataclasses import dataclass

from tenter.consultation.axes import Axis
from tenter.consultation.findings.ending import Ending, Owed, Reached
from tenter.consultation.words import terms
from tenter.consultation.words.odds_words import ENOUGH, percent
from tenter.language import _, all_of, ngettext, one_of, pgettext


@dataclass(frozen=True, slots=True)
class NotFinished:
    """What a sitting still owes, and about how many minutes that takes."""

    owed: tuple[Owed, ...]
    minutes: float


@dataclass(frozen=True, slots=True)
class Stop:
    """Whether to stop, and why.

    `expected_change` is by how much the probability of the named category is expected to move, up or down, with the
    answer to the pair that would settle most; None where no pair is left.
    """

    advised: bool
    why: str
    expected_change: float | None


@dataclass(frozen=True, slots=True)
class StopStanding:
    """What a sitting has come to, as far as stopping goes. `beside`: the runner-up, and the trait neighbour if any."""

    reached: Reached
    category: str
    beside: tuple[str, ...]
    probability: float
    pair_left: bool


def stop_words(at: StopStanding) -> str:
    """Return a sentence or two on how the sitting stands, in the language that is written."""
    if at.reached.ending is Ending.FINISHED:
        return _(
            "This sitting is finished: each axis was tried twice or more on different cloths, and a cloth of a "
            "neighbour was held."
        )
    if at.reached.ending is Ending.BETWEEN:
        return _(
            "This sitting is finished, and the answer is a border: the client is between {category} and {other}. "
            "More of these cloths would hardly change that. The palette holds colours of both.",
            category=terms.season_sentence(at.category),
            other=terms.season_sentence(at.beside[0]),
        )
    return _("Not finished: {owed}. {time}", owed=_owed(at), time=_time(at))


def _owed(at: StopStanding) -> str:
    owed = [one for one in at.reached.owed if one not in (Owed.NEIGHBOUR, Owed.ODDS)]
    never, axes = (
        [str(terms.axis(Axis(one))) for one in owed if (one in at.reached.untried) is so] for so in (True, False)
    )
    told = []
    if never:
        told.append(
            ngettext(
                "{axes} was not yet tried",
                "{axes} were not yet tried",
                len(never),
                axes=all_of(never),
            )
        )
    if axes:
        told.append(
            ngettext(
                "{axes} was not yet tried twice on different cloths",
                "{axes} were not yet tried twice on different cloths",
                len(axes),
                axes=all_of(axes),
            )
        )
    if Owed.NEIGHBOUR in at.reached.owed:
        neighbours = one_of([str(terms.season_sentence(c)) for c in at.beside])
        told.append(_("no cloth of {neighbours} was held", neighbours=neighbours))
    if Owed.ODDS in at.reached.owed:
        told.append(_("the odds are {odds}, not yet {enough}", odds=percent(at.probability), enough=percent(ENOUGH)))
    return pgettext("between what is owed", "; ").join(told)


def _time(at: StopStanding) -> str:
    if not at.pair_left:
        return _("No pair of this kit is left to hold.")
    pairs = at.reached.pairs
    time = ngettext("about {count} minute", "about {count} minutes", round(at.reached.minutes))
    if Owed.ODDS in at.reached.owed:
        return ngettext(
            "Half of simulated sittings were finished within {count} more pair, {time}.",
            "Half of simulated sittings were finished within {count} more pairs, {time}.",
            pairs,
            time=time,
        )
    return ngettext("That takes one more pair, {time}.", "That takes {count} more pairs, {time}.", pairs, time=time)
