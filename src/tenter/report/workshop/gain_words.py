"""What a cloth to buy and a best kit are worth, in words with the number beside them."""

from tenter.consultation.worth.best_kit import BestKit
from tenter.consultation.worth.gain import Gain
from tenter.consultation.worth.shopping import KitWorth, ToBuy
from tenter.language import _, gettext_lazy, local_number

_NOTHING_NOW = 100.0  # times what a comparison tells now: a kit of a cloth or two
NATS_SAID = gettext_lazy(
    "A nat is the unit of information. 0.01 nats more in a comparison raise the probability of the right season by "
    "about 1 % of itself."
)
GAINS_SAID = gettext_lazy(
    "Gains are predicted on invented clients, with 95 % intervals, each colour with those above it already bought. "
    "Only gains that are surely more than nothing are shown. A whole sitting learns less than they add up to."
)


def gain_words(cloth: ToBuy) -> str:
    """Return what a cloth adds, as a share of what a comparison tells now; as times of it where that is little."""
    return share_words(cloth.share)


def share_words(share: float) -> str:
    """Return a gain in words, given as a share of what a comparison tells now."""
    if share >= _NOTHING_NOW:
        return _("Without it a comparison tells next to nothing.")
    if share >= 1:
        return _("A comparison would tell {times} times as much.", times=local_number(1 + share, 1))
    return _("A comparison would tell about {share} % more.", share=local_number(100 * share, 1))


def gain_numbers(gain: Gain) -> str:
    """Return a gain in nats with its interval, as '0.0052 nats (0.0043 to 0.0060)'."""
    low, high = local_number(gain.low, 4), local_number(gain.high, 4)
    return _("{nats} nats ({low} to {high})", nats=local_number(gain.nats, 4), low=low, high=high)


def told_now(worth: KitWorth) -> str:
    """Return what a comparison tells with the kit as it is."""
    return _(
        "A comparison with your kit tells {nats} nats on average, over the first ten of a sitting.",
        nats=local_number(worth.nats, 3),
    )


def best_words(best: BestKit) -> str:
    """Return what the best kit of so many cloths is worth beside all measured ones."""
    share = best.nats / best.nats_of_all if best.nats_of_all > 0 else 1.0
    return _(
        "A comparison with these {count} cloths teaches {share} % of what it teaches with all your measured cloths: "
        "{nats} of {of_all} nats.",
        count=len(best.cloths),
        share=local_number(100 * share, 0),
        nats=local_number(best.nats, 3),
        of_all=local_number(best.nats_of_all, 3),
    )
