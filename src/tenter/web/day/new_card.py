"""A card for somebody new, of whom no more than a name is known at the door or on the telephone."""

from django.contrib.auth.models import User

from tenter.web.models import Client
from tenter.web.rules import access, audit
from tenter.web.rules.audit import Action


def make_card(user: User, name: str) -> Client:
    """Make a card in a user's studio, seen by whoever made it, and note it."""
    client = Client.objects.create(owner=access.studio_owner(user), name=name)
    access.let_in(user, client, made_card=True)
    audit.note(user, Action.CLIENT_ADDED, client)
    return client
