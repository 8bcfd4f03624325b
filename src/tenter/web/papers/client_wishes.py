"""What a client loves, hates and has to keep to, as rows: said one by one on the client's card."""

from collections.abc import Iterable
from datetime import datetime

from django.contrib.auth.models import User
from django.db import transaction
from django.utils.translation import gettext as _

from tenter.consultation.wishes.said_wishes import SaidWish, WishKind, wishes_of
from tenter.consultation.wishes.wishes import Wishes
from tenter.errors import UnknownName
from tenter.web.models import Client, ClientWish
from tenter.web.sent.row_numbers import row_number


def wishes_for(client: Client, by: datetime | None = None) -> Wishes:
    """Return what a client's palettes are made by; `by`: without what was said later."""
    return wishes_in(client.wishes.all() if by is None else client.wishes.filter(at__lte=by))


def said_since(client: Client, at: datetime) -> bool:
    """Whether a client has said a wish since then, so that papers of then were without it."""
    return bool(client.wishes.filter(at__gt=at).exists())


def wishes_in(rows: Iterable[ClientWish]) -> Wishes:
    """Return the wishes of one client's rows; raises `TenterError` where they are none or contradict one another."""
    return wishes_of(map(said_in, rows))


def said_in(row: ClientWish) -> SaidWish:
    """Return what a row says; raises `UnknownName` for a kind of no list."""
    return SaidWish(_kind(row.kind), row.about, row.why)


def add_wish(client: Client, by: User, said: SaidWish) -> ClientWish:
    """Keep a wish beside the others; raises `TenterError` where it contradicts one of them, and keeps nothing then."""
    with transaction.atomic():
        Client.objects.select_for_update().get(pk=client.pk)  # orders the writers
        wishes_of([*map(said_in, client.wishes.all()), said])
        return ClientWish.objects.create(client=client, by=by, kind=said.kind, about=said.about, why=said.why)


def take_back_wish(client: Client, number: str) -> bool:
    """Delete a wish by its number; return whether there was one."""
    pk = row_number(number)
    return pk is not None and bool(client.wishes.filter(pk=pk).delete()[0])


def _kind(word: str) -> WishKind:
    if word not in [*WishKind]:
        raise UnknownName(_("kind of wish"), word, WishKind)
    return WishKind(word)
