"""Which cloths each sitting has held: read from its events once, and kept until there are more of them."""

from collections import defaultdict
from collections.abc import Collection, Mapping

from django.db import DatabaseError, transaction
from django.db.models import Max, QuerySet

from tenter.consultation.sitting.journal import judgement_from
from tenter.web.models import Sitting, SittingCloths, SittingEvent

_AT_ONCE = 400  # sittings: a query of so many numbers is taken by every database


def cloths_held(sittings: QuerySet[Sitting]) -> dict[int, frozenset[str]]:
    """Return the cloths held in each of some sittings, by its number; a sitting without events is left out.

    Years of sittings have hundreds of thousands of events, so only sittings with events since the last time are read.
    """
    own = sittings.order_by().values("pk")
    events = SittingEvent.objects.filter(sitting__in=own).order_by()
    latest: dict[int, int] = dict(events.values_list("sitting").annotate(Max("number")))
    kept = SittingCloths.objects.filter(sitting__in=own).values_list("sitting", "events", "cloths")
    known = {pk: cloths for pk, number, cloths in kept if latest.get(pk) == number}
    behind = [pk for pk in latest if pk not in known]
    for start in range(0, len(behind), _AT_ONCE):
        known |= _read(behind[start : start + _AT_ONCE], latest)
    return {pk: frozenset(known[pk].split()) for pk in latest}


def _read(sittings: Collection[int], latest: Mapping[int, int]) -> dict[int, str]:
    """Read the events of a few sittings, keep what was held in each, and return it."""
    held: dict[int, set[str]] = defaultdict(set)
    recorded = SittingEvent.objects.filter(sitting__in=sittings, kind="recorded").order_by()
    for sitting, payload in recorded.values_list("sitting", "payload").iterator():
        held[sitting].update(judgement_from(payload["judgement"]).cloths)
    named = {pk: " ".join(sorted(held.get(pk, ()))) for pk in sittings}
    _keep([SittingCloths(sitting_id=pk, events=latest[pk], cloths=cloths) for pk, cloths in named.items()])
    return named


def _keep(rows: list[SittingCloths]) -> None:
    """Keep what was read. Where that fails, as when a sitting was erased meanwhile, it is read again the next time."""
    try:
        with transaction.atomic():
            SittingCloths.objects.bulk_create(
                rows, update_conflicts=True, unique_fields=["sitting"], update_fields=["events", "cloths"]
            )
    except DatabaseError:
        return
