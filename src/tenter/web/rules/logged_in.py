"""Whose request it is: of whoever has logged in, on every page but those that say that they are open to all."""

from django.contrib.auth.models import User
from django.http import HttpRequest


class UserRequest(HttpRequest):
    """A request that has passed `LoginRequiredMiddleware`. It is a type for views, of which no object is ever made."""

    user: User
