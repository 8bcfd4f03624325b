"""What is said of cloths that have changed: how far, in which direction, how fast, and what that touches."""

from collections.abc import Iterator, Sequence

from tenter.consultation.cloths.kit import Kit
from tenter.consultation.fading.cloth_uses import UsedSince
from tenter.consultation.fading.drift import DRIFTED_FROM, ClothDrift
from tenter.consultation.fading.faded_pairs import FadedPair
from tenter.consultation.fading.kit_drift import KitDrift
from tenter.consultation.fading.trend import ColourTrend, YearlyRate
from tenter.language import _, in_a_row, local_number, local_signed, ngettext, pgettext
from tenter.numerals import how_many, listed, number

_MOST_NAMED = 6  # in one line
_OFTEN = {1: "once", 2: "twice"}
_MONTHS = 12  # of a year
_LONG_YEARS = 10  # beyond it nobody plans


def drift_lines(found: KitDrift, kit: Kit, asked_for_sittings: bool) -> list[str]:
    """Return what has become of a kit in lines, the most changed cloth first.

    asked_for_sittings: whether sittings were looked for, so that none of them is worth a line.
    """
    lines = [line for one in found.drifts for line in cloth_drift_lines(found, one, kit, asked_for_sittings)]
    if not found.drifts:
        lines.append("No cloth has readings of two days, so nothing can be compared yet.")
    if found.once:
        lines.append(f"Read on one day alone: {_named(found.once)}.")
    if found.not_in_kit:
        lines.append(f"Not in the kit, so that no pair of it is known: {_named(found.not_in_kit)}.")
    return lines


def cloth_drift_lines(found: KitDrift, one: ClothDrift, kit: Kit, asked_for_sittings: bool) -> list[str]:
    """Return what has become of one cloth in lines: the change, and below it what it touches."""
    name = f" ({kit[one.cloth].name})" if one.cloth in kit and kit[one.cloth].name != one.cloth else ""
    head = f"{one.cloth}{name}: ΔE00 {number(one.delta_e)} since {one.baseline.day}, {one.direction}. "
    lines = [f"{head}Grey scale {one.grade.step}."]
    lines += [f"  {line}" for line in _below(found, one, asked_for_sittings)]
    return lines


def _below(found: KitDrift, one: ClothDrift, asked_for_sittings: bool) -> Iterator[str]:
    if one.has_drifted:
        limit = number(DRIFTED_FROM, 0)
        yield f"Take it out of the tests or enter its new colour: it has changed by ΔE00 {limit} or more."
    pairs = found.pairs_of(one.cloth)
    if pairs:
        match = "match" if len(pairs) > 1 else "matches"
        yield f"{how_many(len(pairs), 'pair')} no longer {match}: {pair_words(pairs)}."
    if asked_for_sittings:
        yield sittings_words(found.uses[one.cloth])
    if one.trend is not None:
        yield trend_words(one.trend)
    if one.washes:
        days = listed([f"{wash.day} ({wash.kind})" for wash in one.washes[-_MOST_NAMED:]])
        count = len(one.washes)
        yield f"Washed {_OFTEN.get(count, f'{count} times')} since: {days}."
    yield from one.doubts


def pair_words(pairs: Sequence[FadedPair]) -> str:
    """Return pairs that no longer match, each with what it differs in now."""
    said = [_pair_said(pair) for pair in pairs[:_MOST_NAMED]]
    more = [_("{count} more", count=len(pairs) - _MOST_NAMED)] if len(pairs) > _MOST_NAMED else []
    return "; ".join([*said, *more])


def _pair_said(pair: FadedPair) -> str:
    first, second = pair.cloths
    axis = pgettext("axis", pair.after.axis)
    return _("{first} and {second} for {axis} ({reason})", first=first, second=second, axis=axis, reason=pair.reason)


def sittings_words(uses: UsedSince) -> str:
    """Return which sittings used a cloth since, in a sentence."""
    count = how_many(len(uses.undated), "sitting")
    undated = f" {count} without a day used it, before or since." if uses.undated else ""
    if not uses.since:
        return f"No sitting with a day used it since.{undated}"
    named = _named([f"{use.sitting} ({use.day})" for use in uses.since])
    return f"Used in {how_many(len(uses.since), 'sitting')} since: {named}.{undated}"


def trend_words(trend: ColourTrend) -> str:
    """Return how fast a cloth changes, with the intervals, and when it will have drifted."""
    parts = [f"ΔE00 {_rate(trend.delta_e, plain=True)}"]
    for name, rate in (("L*", trend.lightness), ("C*", trend.chroma), ("b*", trend.b)):
        if rate.is_certain:
            parts.append(f"{name} {_rate(rate)}")
    years = trend.years_to(DRIFTED_FROM)
    told = ngettext(
        "Per year, by {count} day of readings: {changes}.",
        "Per year, by {count} days of readings: {changes}.",
        trend.days,
        changes=in_a_row(parts),
    )
    return f"{told} {_reached_in(years)}" if years and years < _LONG_YEARS else told


def _reached_in(years: float) -> str:
    """Return when a cloth will have drifted, as a sentence."""
    limit, months = {"limit": local_number(DRIFTED_FROM, 0)}, max(round(years * _MONTHS), 1)
    if months < 2 * _MONTHS:
        return ngettext(
            "It reaches ΔE00 {limit} in about {count} month.",
            "It reaches ΔE00 {limit} in about {count} months.",
            months,
            **limit,
        )
    return ngettext(
        "It reaches ΔE00 {limit} in about {count} year.",
        "It reaches ΔE00 {limit} in about {count} years.",
        round(years),
        **limit,
    )


def _rate(rate: YearlyRate, plain: bool = False) -> str:
    write = local_number if plain else local_signed
    return _(
        "{rate} (90 % interval {low} to {high})",
        rate=write(rate.per_year, 1),
        low=local_number(rate.low, 1),
        high=local_number(rate.high, 1),
    )


def _named(names: Sequence[str]) -> str:
    more = [f"{len(names) - _MOST_NAMED} more"] if len(names) > _MOST_NAMED else []
    return listed([*names[:_MOST_NAMED], *more])
