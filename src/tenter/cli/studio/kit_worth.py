"""What `tenter kit audit` says of buying and leaving out: in words, and as plain values."""

from dataclasses import asdict
from typing import TYPE_CHECKING

from tenter.numerals import number, whole_percent

if TYPE_CHECKING:
    from tenter.consultation.worth.best_kit import BestKit
    from tenter.consultation.worth.gain import Gain
    from tenter.consultation.worth.shopping import KitWorth, ToBuy


def worth_document(worth: "KitWorth | None", best: "BestKit | None") -> dict[str, object]:
    """Return what was asked for as plain values for JSON, gains in nats; nothing for what was not."""
    found: dict[str, object] = {}
    if worth is not None:
        found["nats_per_comparison"] = worth.nats
        found["gap_gains"] = [{"words": g.gap.words, "lab": g.gap.lab, **_gain(g.gain)} for g in worth.gaps]
        found["to_buy"] = [{**asdict(cloth), "words": cloth.words, "gain": _gain(cloth.gain)} for cloth in worth.to_buy]
    if best is not None:
        found["best_kit"] = asdict(best)
    return found


def _gain(gain: "Gain") -> dict[str, object]:
    return {**asdict(gain), "is_sure": gain.is_sure}


def print_worth(worth: "KitWorth | None", best: "BestKit | None") -> None:
    """Print what was asked for."""
    from rich.console import Console

    console = Console(highlight=False)
    if worth is not None:
        console.print(f"\n[bold]To buy: {len(worth.to_buy) or 'nothing'}[/]")
        for line in _to_buy(worth):
            console.print(line)
    if best is not None:
        console.print(f"\n[bold]The best kit of {len(best.cloths)}[/]\n{' '.join(best.cloths)}", markup=True)
        console.print(
            f"A comparison with it teaches {best.nats:.3f} nats, with all your measured cloths {best.nats_of_all:.3f}. "
            f"Its best pairs tell {whole_percent(best.share)} of what the best of all do; no kit of this size can "
            "exceed 100 %. Metals are left out. To show a client their colours, keep five cloths of each category too."
        )


def _to_buy(worth: "KitWorth") -> list[str]:
    lines = [_bought(cloth) for cloth in worth.to_buy] or [
        "No single cloth is sure to tell you more than those you have."
    ]
    for found in worth.gaps:
        told = _in_nats(found.gain) if found.gain.is_sure else "not shown to help the verdict"
        lines.append(f"The gap “{found.gap.words}”: {told}.")
    lines.append(
        f"A comparison with your kit tells {worth.nats:.3f} nats on average, over the first ten of a sitting. Gains "
        "are worked out on invented clients, with 95 % intervals, each cloth with those above it already bought. 0.01 "
        "nats more raise the probability of the right category by about 1 % of itself. A whole sitting learns less "
        "than the gains add up to."
    )
    return lines


def _bought(cloth: "ToBuy") -> str:
    L, a, b = (number(value, 0) for value in cloth.lab)
    screen = "" if cloth.shown_truly else "; no ordinary screen shows it as strong as it is"
    more = f"{number(100 * cloth.share, 1)} % more"
    return f"{cloth.words} near L* {L}, a* {a}, b* {b}: {_in_nats(cloth.gain)}, {more}{screen}."


def _in_nats(gain: "Gain") -> str:
    return f"adds {gain.nats:.4f} nats a comparison ({gain.low:.4f} to {gain.high:.4f})"
