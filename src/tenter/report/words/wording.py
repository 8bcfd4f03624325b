"""How numbers, dates and people are spoken of on a sheet."""

from tenter.consultation.words import odds_words
from tenter.consultation.words.odds_words import Degree, OddsWord, degree, odds_word
from tenter.kept_words import keeps_words
from tenter.language import N_, _, in_a_row, local_number, local_signed

_BEGINS = {
    OddsWord.LEANING: N_("leaning from {percent} %"),
    OddsWord.LIKELY: N_("likely from {percent} %"),
    OddsWord.FIRM: N_("firm from {percent} %"),
}


def printed_percent(probability: float) -> str:
    """Return a probability as a whole percent, never as certain: '> 99 %' and '< 1 %' at the ends."""
    if probability > 0.99:
        return "> 99 %"
    if probability < 0.01:
        return "< 1 %"
    return odds_words.percent(probability)


def plain_number(value: float) -> str:
    """Return a value, in whatever units, as a whole number with a true minus sign."""
    return local_number(value, 0)


def change_within(change: float, half_width: float) -> str:
    """Return `change` and `half_width`, half of its 90 % interval, both in the same unit, as '+1.6 ± 0.4'."""
    return f"{local_signed(change)} ±\u00a0{local_number(half_width, 1)}"


def card_fit(mean: float) -> str:
    """Return how well a card's colours are known, from the mean ΔE00 of its patches, each left out of the fit."""
    return _("The card’s colours are predicted to within ΔE00 {error} on average.", error=local_number(mean, 1))


@keeps_words
def sentence(text: str) -> str:
    """Return a text with its first letter large."""
    return text[:1].upper() + text[1:]


def stopped(text: str) -> str:
    """Return somebody's own words as a sentence, with a full stop where they have none."""
    said = sentence(text.strip())
    return f"{said}." if said and said[-1] not in ".!?…" else said


def times(factor_of_odds: float) -> str:
    """Return by how much odds change, as '× 1.8' or '÷ 2.0'.

    factor_of_odds: above 0.
    """
    sign, factor = ("×", factor_of_odds) if factor_of_odds >= 1 else ("÷", 1 / factor_of_odds)
    return f"{sign} {local_number(factor, 1 if factor < 20 else 0)}"


def odds_key() -> str:
    """Return the odds words with the percents that each begins at, read off `odds_word` itself."""
    first = {word: min(p for p in range(101) if odds_word(p / 100) is word) for word in OddsWord}
    # `settled` begins above a whole percent that still is `firm`.
    told = [_("open below {percent} %", percent=first[OddsWord.LEANING])]
    told += [_(said, percent=first[word]) for word, said in _BEGINS.items()]
    return in_a_row([*told, _("settled above {percent} %", percent=first[OddsWord.SETTLED] - 1)])


def degree_borders(reach: float) -> tuple[float, ...]:
    """Return where the degrees slight, marked and strong begin on one half of an axis, in bench units.

    Read off `degree` itself, up to `reach`.
    """
    steps = [i / 100 for i in range(1, int(reach * 100))]
    return tuple(min(s for s in steps if degree(s) is word) for word in Degree if word is not Degree.MIDDLE)
