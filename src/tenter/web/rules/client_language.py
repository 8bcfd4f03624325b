"""The language of a studio, and the one in which a client reads: papers, their own screen, what they are asked.

A client's is the studio's unless their card says another. What the consultant reads stays in the studio's.
"""

from collections.abc import Iterator
from contextlib import contextmanager

from django.conf import settings
from django.contrib.auth.models import User

from tenter.language import SOURCE, language
from tenter.web.models import Client, StudioName
from tenter.web.server.in_language import in_language, own_name


def studio_language(owner: User) -> str:
    """Return the tag of the language that a studio's screens and papers are written in."""
    return StudioName.objects.filter(owner=owner).values_list("language", flat=True).first() or SOURCE


def clients_language(client: Client) -> str:
    """Return the tag of the language in which a client reads: the studio's where none is chosen or it is not here."""
    chosen = str(client.language)
    return chosen if chosen in dict(settings.LANGUAGES) else studio_language(client.owner)


@contextmanager
def in_clients_language(client: Client) -> Iterator[None]:
    """Write everything inside the `with` in the language in which a client reads."""
    with in_language(clients_language(client)):
        yield


def other_than_studios(client: Client, tag: str) -> str:
    """Return the tag of a language where it is another than that of the client's studio, else ""."""
    return "" if tag == studio_language(client.owner) else tag


def said_in_clients_language(client: Client) -> dict[str, object]:
    """Return for a page what the client reads on it in: `read`, and as `tongue` its name where it is no other's."""
    here = language().code
    with in_clients_language(client):
        read = language()
    return {"read": read, "tongue": "" if read.code == here else own_name(read.code)}
