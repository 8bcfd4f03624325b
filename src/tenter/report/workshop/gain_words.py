"""What a cloth to buy and a best kit are worth, in words with the number beside them."""

from tenter.consultation.worth.best_kit import BestKit
from tenter.consultation.worth.gain import Gain
from tenter.consultation.worth.shopping import KitWorth, ToBuy
from tenter.numerals import number, whole_percent

_NOTHING_NOW = 100.0  # times what a comparison tells now: a kit of a cloth or two
NATS_SAID = (
    "A nat is the unit of information. 0.01 nats more in a comparison raise the probability of the right season by "
    "about 1 % of itself."
)
GAINS_SAID = (
    "Gains are predicted on invented clients, with 95 % intervals, each colour with those above it already bought. "
    "Only gains that are surely more than nothing are shown. A whole sitting learns less than they add up to."
)


def gain_words(cloth: ToBuy) -> str:
    """Return what a cloth adds, as a share of what a comparison tells now; as times of it where that is little."""
    if cloth.share >= _NOTHING_NOW:
        return "Without it a comparison tells next to nothing."
    if cloth.share >= 1:
        return f"A comparison would tell {number(1 + cloth.share, 1)} times as much."
    return f"A comparison would tell about {number(100 * cloth.share, 1)} % more."


def gain_numbers(gain: Gain) -> str:
    """Return a gain in nats with its interval, as '0.0052 nats (0.0043 to 0.0060)'."""
    low, high = number(gain.low, 4), number(gain.high, 4)
    return f"{number(gain.nats, 4)} nats ({low} to {high})"


def told_now(worth: KitWorth) -> str:
    """Return what a comparison tells with the kit as it is."""
    return f"A comparison with your kit tells {number(worth.nats, 3)} nats on average, over the first ten of a sitting."


def best_words(best: BestKit) -> str:
    """Return what the best kit of so many cloths is worth beside all measured ones."""
    share = whole_percent(best.nats / best.nats_of_all) if best.nats_of_all > 0 else "100 %"
    nats, of_all = number(best.nats, 3), number(best.nats_of_all, 3)
    return (
        f"A comparison with these {len(best.cloths)} cloths teaches {share} of what it teaches with all your measured "
        f"cloths: {nats} of {of_all} nats."
    )
