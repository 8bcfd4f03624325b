"""The studio's snippets as rows: what stands in which drawer, and movements that are only ever added."""

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, TypedDict

from django.contrib.auth.models import User
from django.db import transaction
from django.db.models import QuerySet, Sum
from django.db.models.functions import Coalesce
from django.utils import timezone

from tenter.colorimetry.illuminants import observer_from
from tenter.colorimetry.measurement import Conditions
from tenter.consultation.stock.movements import Movement, MovementReason, stock_after
from tenter.consultation.stock.snippets import Snippet, Stock
from tenter.web.models import Sitting, SnippetRecord, StockMovement

if TYPE_CHECKING:
    from django_stubs_ext import WithAnnotations

_FIRST = "first count"


class _Counted(TypedDict):
    """What `rows_of` adds to a snippet: how many pieces its drawer holds."""

    count: int


def rows_of(owner: User) -> "QuerySet[WithAnnotations[SnippetRecord, _Counted]]":
    """Return the snippets of an owner's studio that stand in drawers, each with its `count`."""
    found = SnippetRecord.objects.filter(owner=owner, cleared=None)
    return found.annotate(count=Coalesce(Sum("movements__change"), 0))


def snippet_of(row: "WithAnnotations[SnippetRecord, _Counted]") -> Snippet:
    """Return what a row of `rows_of` means."""
    conditions = Conditions(row.illuminant, observer_from(row.observer))
    lab = (float(row.lab[0]), float(row.lab[1]), float(row.lab[2]))
    return Snippet(row.drawer, row.name, lab, conditions, row.count, row.reorder_at)


def as_given(row: SnippetRecord, place: int) -> Snippet:
    """Return a snippet that a client has, as one piece in a drawer of its own: its old one may be another's by now."""
    conditions = Conditions(row.illuminant, observer_from(row.observer))
    return Snippet(f"#{place}", row.name, (row.lab[0], row.lab[1], row.lab[2]), conditions, 1)


def stock_of(owner: User) -> Stock:
    """Return an owner's stock as it is now."""
    return Stock(tuple(map(snippet_of, rows_of(owner))))


def put_into_drawers(owner: User, by: User, snippets: Sequence[Snippet]) -> None:
    """Put snippets into drawers of their own; raises `TenterError` where one is in use, and adds none then."""
    with transaction.atomic():
        _in_turn(owner)
        stock_of(owner).with_more(tuple(snippets))
        for one in snippets:
            row = SnippetRecord.objects.create(
                owner=owner,
                drawer=one.drawer,
                name=one.name,
                lab=list(map(float, one.lab)),
                illuminant=one.conditions.illuminant,
                observer=str(one.conditions.observer),
                reorder_at=one.reorder_at,
            )
            if one.count:
                _write(row, Movement(one.drawer, one.count, MovementReason.COUNTED, now()), by, _FIRST, None)


def move(owner: User, by: User, movements: Iterable[Movement], key: str, sitting: Sitting | None = None) -> bool:
    """Write movements down, or none of them; return whether they are new: the same key twice is one movement.

    Raises
    ------
    TenterError
        If a drawer is not there, or would give more than it holds.
    """
    these = tuple(movements)
    with transaction.atomic():
        rows = _in_turn(owner)
        if StockMovement.objects.filter(snippet__owner=owner, key=key).exists():
            return False
        stock_after(stock_of(owner), these)
        by_drawer = {row.drawer.casefold(): row for row in rows}
        for one in these:
            _write(by_drawer[one.drawer.casefold()], one, by, key, sitting)
    return True


def clear(row: SnippetRecord) -> None:
    """Let a drawer be another's. What went in and out of it stays written down."""
    SnippetRecord.objects.filter(pk=row.pk, cleared=None).update(cleared=timezone.now())


def picked_for(sitting: Sitting) -> QuerySet[StockMovement]:
    """Return what was picked for a sitting and put back, the latest first."""
    return StockMovement.objects.filter(sitting=sitting).select_related("snippet", "by")


def out_for(sitting: Sitting) -> list[tuple[SnippetRecord, int]]:
    """Return which snippets a sitting's client has, with how many pieces."""
    held: dict[SnippetRecord, int] = {}
    for one in picked_for(sitting):
        held[one.snippet] = held.get(one.snippet, 0) - one.change
    return [(snippet, pieces) for snippet, pieces in held.items() if pieces > 0]


def now() -> str:
    """Return the moment of a movement."""
    return timezone.localtime().isoformat(timespec="seconds")


def _in_turn(owner: User) -> list[SnippetRecord]:
    """Return an owner's drawers, which nobody else moves until the end of the transaction."""
    return list(SnippetRecord.objects.select_for_update().filter(owner=owner, cleared=None))


def _write(row: SnippetRecord, one: Movement, by: User, key: str, sitting: Sitting | None) -> None:
    StockMovement.objects.create(
        snippet=row, change=one.change, why=str(one.why), note=one.note, sitting=sitting, by=by, key=key
    )
