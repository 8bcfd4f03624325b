"""Whose the sandbox is: the demo studio, opened to look around in and thrown away, beside the studio and never in it.

It belongs to a user of its own, who has no password and is entered from a page alone. So every rule on whose a row is
keeps the two apart.
"""

from django.contrib.auth import get_user_model
from django.contrib.auth.models import AnonymousUser, User

from tenter.web.models import Associate

SANDBOX_NAME = "Demo studio (sandbox)"


def is_sandbox(user: User | AnonymousUser | None) -> bool:
    """Whether a user is the sandbox's."""
    return user is not None and user.get_username() == SANDBOX_NAME


def sandbox_users() -> list[User]:
    """Return the sandbox's user and those who were let in there; nobody where there is no sandbox."""
    users = list(get_user_model().objects.filter(username=SANDBOX_NAME))
    return users + [one.user for one in Associate.objects.filter(owner__in=users).select_related("user")]


def anybody_yet() -> bool:
    """Whether somebody can log in to a studio here: the sandbox's user does not count."""
    return bool(get_user_model().objects.exclude(username=SANDBOX_NAME).exists())
