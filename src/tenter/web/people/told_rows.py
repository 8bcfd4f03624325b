"""Results from before as rows: taken in all or none, and shown only once a verdict of one's own has been revealed."""

from collections.abc import Iterable, Sequence

from django.contrib.auth.models import User
from django.db import transaction
from django.db.models import Max
from django.utils.translation import gettext as _

from tenter.consultation.client.told_results import TOLD_REQUIRED, ToldResult
from tenter.consultation.cloths.tables import Faults
from tenter.web.models import Client, Sitting, ToldBefore
from tenter.web.rules import access, audit, consents
from tenter.web.rules.audit import Action
from tenter.web.sent.looking_up import plain


def keep_told(user: User, told: Sequence[ToldResult], source: str) -> tuple[int, int]:
    """Keep results and the cards of clients who have none; return how many results and how many cards are new.

    A name finds the client of that name, whatever its accents and capitals. What is kept already is passed over.
    Raises `UnreadableInput` naming every row that cannot be kept, and keeps nothing then.
    """
    faults = Faults(source)
    known: dict[str, list[Client]] = {}
    for client in access.clients(user):
        known.setdefault(_same(client.name), []).append(client)
    for one in told:
        if problem := _problem(user, known.get(_same(one.name), [])):
            faults.add(one.line, TOLD_REQUIRED[0], problem)
    faults.raise_any()
    with transaction.atomic():
        cards = _cards(user, told, known)
        kept = [ToldBefore.objects.get_or_create(**_fields(one, known), defaults={"by": user})[1] for one in told]
        for client in {known[_same(one.name)][0] for one in told}:
            audit.note(user, Action.RESULTS_TAKEN_IN, client)
    return sum(kept), cards


def _problem(user: User, clients: Sequence[Client]) -> str:
    """Return why nothing can be kept of a name; empty where it can."""
    if len(clients) > 1:
        told = _("%(count)s clients on file have this name; tell them apart on their cards, or leave the row out")
        return told % {"count": len(clients)}
    if any(access.reads_blind(user, client) for client in clients):
        return _("you read this client independently; what was said before comes in once yours has ended")
    if any(consents.ended(client) for client in clients):
        return _("this client’s consent has ended, so nothing more is kept; ask again, or leave the row out")
    return ""


def _cards(user: User, told: Iterable[ToldResult], known: dict[str, list[Client]]) -> int:
    """Make a card for each name that has none, add it to those known, and return how many."""
    made = 0
    for one in told:
        if _same(one.name) not in known:
            client = Client.objects.create(owner=access.studio_owner(user), name=one.name)
            access.let_in(user, client, made_card=True)
            audit.note(user, Action.CLIENT_ADDED, client)
            known[_same(one.name)] = [client]
            made += 1
    return made


def _fields(one: ToldResult, known: dict[str, list[Client]]) -> dict[str, object]:
    return {"client": known[_same(one.name)][0], "day": one.day, "result": one.result, "note": one.note}


def _same(name: str) -> str:
    return plain(" ".join(name.split()))


def shown_results(user: User, client: Client) -> list[ToldBefore]:
    """Return what was told before, the latest first, without what is hidden from a user.

    A result is hidden until a verdict is revealed after it came in, and again while the user sits with the client.
    """
    if access.reads_blind(user, client) or _sits_blind(user, client):
        return []
    seen = access.sittings(user).filter(client=client).aggregate(latest=Max("revealed_at"))["latest"]
    return list(client.told.filter(at__lt=seen)) if seen else []


def _sits_blind(user: User, client: Client) -> bool:
    return Sitting.objects.filter(client=client, analyst=user, ended=None, revealed_at=None).exists()
