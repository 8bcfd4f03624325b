"""Which sittings used a cloth since a day: what a changed cloth has been asked for."""

from collections.abc import Iterable
from dataclasses import dataclass

from tenter.consultation.record.ledger import LedgerRow


@dataclass(frozen=True, slots=True)
class SittingUse:
    """A sitting and the cloths held in it. sitting: its client or name. day: ISO date, empty where nobody said."""

    sitting: str
    day: str
    cloths: frozenset[str]


@dataclass(frozen=True, slots=True)
class UsedSince:
    """The sittings that used a cloth since a day, and those that used it on a day that nobody knows."""

    since: tuple[SittingUse, ...]
    undated: tuple[SittingUse, ...]


def uses_in_ledger(rows: Iterable[LedgerRow]) -> tuple[SittingUse, ...]:
    """Return the sittings of a ledger: one for each client and day, in the order in which they came."""
    held: dict[tuple[str, str], set[str]] = {}
    for row in rows:
        held.setdefault((row.client, row.day), set()).update(row.judgement.cloths)
    return tuple(SittingUse(client, day, frozenset(cloths)) for (client, day), cloths in held.items())


def used_since(uses: Iterable[SittingUse], cloth: str, day: str) -> UsedSince:
    """Return which sittings used a cloth on a day (ISO date) or after it, the first of them first."""
    own = [use for use in uses if cloth in use.cloths]
    since = sorted((use for use in own if use.day >= day), key=lambda use: use.day)
    return UsedSince(tuple(since), tuple(use for use in own if not use.day))
