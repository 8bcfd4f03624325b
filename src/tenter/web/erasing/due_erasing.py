"""Things of clients erased one by one, because their day has come or somebody says so, and cleaned up after once."""

from collections.abc import Sequence
from datetime import date
from typing import TypeVar

from django.contrib.auth.models import User
from django.db import transaction
from django.db.models import Model
from django.utils.translation import ngettext

from tenter.report.own_words.studio_words import Topic
from tenter.web.erasing import client_erasing
from tenter.web.erasing.client_erasing import Erased
from tenter.web.models import Client, ClientWish, HandedPaper, KeepingTimes, KeptUntil, Sitting, WardrobePiece
from tenter.web.papers import own_words
from tenter.web.papers.own_words import WordsSlot
from tenter.web.rules import audit, consents, keeping
from tenter.web.rules.audit import Action
from tenter.web.rules.keeping import DatedKind, Thing
from tenter.web.server import believed_clock, clean_disk
from tenter.web.sweeping import kept_memory

M = TypeVar("M", bound=Model)


def erase_things(things: Sequence[Thing], user: User | None) -> Erased:
    """Erase things for good, each with a line in the log that names numbers alone."""
    clients = _rows(Client, DatedKind.CLIENT, things)
    client_erasing.erase_rows(clients, user, Action.CLIENT_ERASED)
    client_erasing.erase_rows(_rows(Sitting, DatedKind.SITTING, things), user, Action.SITTING_ERASED)
    for thing in things:
        if thing.kind not in (DatedKind.CLIENT, DatedKind.SITTING):
            _erase_one(thing, user)
        KeptUntil.objects.filter(client=thing.client, kind=thing.kind, number=thing.number).delete()
    kept_memory.forget_everywhere()
    count = len(things)
    what = ngettext("%(count)s item is erased.", "%(count)s items are erased.", count) % {"count": count}
    return Erased(what, clean_disk.clean())


def erase_by_itself() -> int:
    """Erase what is due in the studios that chose so; return how much that was. Nothing by a doubtful clock."""
    if believed_clock.doubt() is not None:
        return 0
    found = [due for times in KeepingTimes.objects.filter(by_itself=True) for due in keeping.due(times.owner)]
    if found:
        erase_things(found, None)
    return len(found)


def _rows(model: type[M], kind: DatedKind, things: Sequence[Thing]) -> list[M]:
    numbers = [thing.number or thing.client for thing in things if thing.kind is kind]
    return list(model._default_manager.filter(pk__in=numbers))


def _erase_one(thing: Thing, user: User | None) -> None:
    with transaction.atomic():
        client = Client.objects.select_related("owner").get(pk=thing.client)
        if thing.kind is DatedKind.PAPERS:
            HandedPaper.objects.filter(pk=thing.number, sitting__client=client).delete()
        elif thing.kind is DatedKind.WISHES:
            ClientWish.objects.filter(client=client).delete()
        elif thing.kind is DatedKind.WARDROBE:
            WardrobePiece.objects.filter(client=client).delete()
        elif thing.kind is DatedKind.CONSENTS:
            consents.erase_past(client, date.fromordinal(thing.number))
        elif thing.kind is DatedKind.NOTES:
            Client.objects.filter(pk=client.pk).update(note="")
            own_words.erase_words(client.owner, WordsSlot(Topic.LETTER, client=client))
        audit.note(user, Action.THING_ERASED, f"{thing.kind} of {audit.said_of(client)}")
