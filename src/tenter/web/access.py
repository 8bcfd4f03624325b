"""Who may see what. Every view gets its rows here; to anybody else a row does not exist (404).

A client is seen by her owner and by the associates that the owner has let in. A kit is seen by its owner.
"""

from typing import Any

from django.db.models import Q
from django.shortcuts import aget_object_or_404, get_object_or_404

from tenter.web.models import Client, KitRecord, Sitting


def clients(user: Any) -> Any:
    """Return the clients that a user may see."""
    return Client.objects.filter(Q(owner=user) | Q(accesses__user=user)).distinct()


def client(user: Any, pk: int) -> Client:
    """Return a client that a user may see, or answer 404."""
    return get_object_or_404(clients(user), pk=pk)


def owned_client(user: Any, pk: int) -> Client:
    """Return a client of a user's own, or answer 404."""
    return get_object_or_404(Client, pk=pk, owner=user)


def kits(user: Any) -> Any:
    """Return a user's own kits, the latest first."""
    return KitRecord.objects.filter(owner=user)


def kit(user: Any, pk: int) -> KitRecord:
    """Return a kit of a user's own, or answer 404."""
    return get_object_or_404(kits(user), pk=pk)


def sittings(user: Any) -> Any:
    """Return the sittings of the clients that a user may see, the latest first."""
    return Sitting.objects.filter(client__in=clients(user)).select_related("client", "analyst", "kit")


def sitting(user: Any, pk: int) -> Sitting:
    """Return a sitting that a user may see, or answer 404."""
    return get_object_or_404(sittings(user), pk=pk)


def own_sitting(user: Any, pk: int) -> Sitting:
    """Return a sitting that a user is the analyst of and may therefore write in, or answer 404."""
    return get_object_or_404(sittings(user), pk=pk, analyst=user)


def sitting_by_token(token: str) -> Sitting:
    """Return the sitting whose client's screen has this address, for whoever knows it, or answer 404."""
    return get_object_or_404(Sitting.objects.select_related("client", "kit", "analyst"), token=token)


async def asitting_by_token(token: str) -> Sitting:
    """Return the same to a page that waits for nobody."""
    return await aget_object_or_404(Sitting, token=token)
