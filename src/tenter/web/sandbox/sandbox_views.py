"""Into the sandbox and out of it: from the first page, or from an owner's studio, whose login waits meanwhile."""

import hmac

from django.contrib import messages
from django.contrib.auth import get_user_model, login, logout
from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.models import User
from django.http import Http404, HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from tenter.web.rules import access, audit
from tenter.web.rules.audit import Action
from tenter.web.rules.logged_in import UserRequest
from tenter.web.rules.sandbox_user import anybody_yet, is_sandbox
from tenter.web.sandbox.sandbox import laid_out, throw_away
from tenter.web.studio.door_views import LogOut

_OWNER = "sandbox-of"  # in the session: whose login waits, and what it was given by
_BACKEND = "django.contrib.auth.backends.ModelBackend"


@login_not_required
@require_POST
def look_around(request: HttpRequest) -> HttpResponse:
    """Open the sandbox: to an owner, and to anybody while there is no studio yet; to others `Http404`."""
    owner = request.user if isinstance(request.user, User) and not is_sandbox(request.user) else None
    if owner is None and anybody_yet():
        return redirect("login")
    if owner is not None and not access.owns_studio(owner):
        raise Http404
    user = laid_out()
    waits = [owner.pk, owner.get_session_auth_hash()] if owner else None
    if owner:
        audit.note(owner, Action.SANDBOX_OPENED)
    login(request, user, _BACKEND)
    request.session[_OWNER] = waits
    return redirect("day")


@require_POST
def leave_sandbox(request: UserRequest) -> HttpResponse:
    """Throw the sandbox away and go back to where it was opened from; `Http404` outside of it."""
    if not is_sandbox(request.user):
        raise Http404
    owner = _who_waits(request)
    logout(request)
    throw_away()
    if owner is None:
        messages.success(request, _("The demo studio is thrown away."))
        return redirect("login")
    login(request, owner, _BACKEND)
    audit.note(owner, Action.SANDBOX_LEFT)
    messages.success(request, _("The demo studio is thrown away. This is your own studio again."))
    return redirect("studio")


@require_POST
def log_out(request: HttpRequest) -> HttpResponseBase:
    """Log out; whoever is in the sandbox throws it away with that, as on leaving it."""
    if not is_sandbox(request.user):
        return LogOut.as_view()(request)
    owner = _who_waits(request)
    logout(request)
    throw_away()
    if owner is not None:
        audit.note(owner, Action.SANDBOX_LEFT)
    return redirect("login")


def _who_waits(request: HttpRequest) -> User | None:
    """Return the owner who opened it, as long as they may log in and their password is what it was."""
    waits = request.session.get(_OWNER)
    if waits is None:
        return None
    pk, given = waits
    found: User | None = get_user_model().objects.filter(pk=int(pk), is_active=True).first()
    if found is None or not hmac.compare_digest(found.get_session_auth_hash(), given):
        return None
    return found
