"""The first run, logging in and logging out."""

from http import HTTPStatus
from typing import Any

from django.contrib.auth import get_user_model, login
from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.forms import AuthenticationForm
from django.contrib.auth.models import User
from django.contrib.auth.views import LoginView, LogoutView
from django.db import transaction
from django.http import Http404, HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import redirect, render
from django.utils import translation
from django.utils.decorators import method_decorator
from django.views.decorators.cache import never_cache

from tenter.language import SOURCE
from tenter.web.models import StudioName
from tenter.web.rules import audit
from tenter.web.rules.audit import Action
from tenter.web.rules.sandbox_user import anybody_yet
from tenter.web.sealing import photo_keys
from tenter.web.server import throttle
from tenter.web.studio.demo import load_demo_studio
from tenter.web.studio.forms import LogInForm, WelcomeForm


@login_not_required
@never_cache
def welcome(request: HttpRequest) -> HttpResponse:
    """Make the owner of the studio; once there is one, there is no such page (`Http404`)."""
    if anybody_yet():
        raise Http404
    form = WelcomeForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        owner = _make_owner(form.cleaned_data)
        login(request, owner)
        return _on_from_here(form.cleaned_data.get("passphrase", ""))
    return render(request, "studio/welcome.html", {"form": form})


def _on_from_here(said: str) -> HttpResponse:
    """Lead to the recovery sheet where a passphrase was chosen, and else to the day."""
    if not said:
        return redirect("day")
    photo_keys.begin_passphrase(said)
    return redirect("recovery")


@transaction.atomic
def _make_owner(said: dict[str, Any]) -> User:
    if anybody_yet():  # somebody was quicker
        raise Http404
    owner = get_user_model().objects.create_superuser(said["name"], password=said["password"])
    language = translation.get_language() or SOURCE  # that of the page on which it was opened
    if said["studio"] or language != SOURCE:
        StudioName.objects.create(owner=owner, name=said["studio"], language=language)
    audit.note(owner, Action.STUDIO_OPENED)
    if said["demo"]:
        load_demo_studio(owner)
    return owner


@method_decorator(login_not_required, name="dispatch")
@method_decorator(never_cache, name="dispatch")
class LogIn(LoginView):
    """Logging in; leads to the first run where nobody can log in yet."""

    template_name = "studio/login.html"
    authentication_form = LogInForm
    redirect_authenticated_user = True

    def dispatch(self, request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
        """Lead to the first run while there is no user."""
        if not anybody_yet():
            return redirect("welcome")
        return super().dispatch(request, *args, **kwargs)

    def post(self, request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        """Look at the password, unless too many wrong ones came."""
        with throttle.turns:
            wait = throttle.seconds_to_wait(request.POST.get("username", ""), request.META.get("REMOTE_ADDR", ""))
            if not wait:
                return super().post(request, *args, **kwargs)
        audit.note(None, Action.LOGIN_REFUSED, "too many tries")
        blank = self.get_form_class()(request)
        return render(request, self.template_name, {"form": blank, "wait": wait}, status=HTTPStatus.TOO_MANY_REQUESTS)

    def form_valid(self, form: AuthenticationForm) -> HttpResponse:
        """Let in."""
        throttle.forget_tries(self.request.POST.get("username", ""), self.request.META.get("REMOTE_ADDR", ""))
        audit.note(form.get_user(), Action.LOGGED_IN)
        return super().form_valid(form)


class LogOut(LogoutView):
    """Logging out."""

    def post(self, request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        """Note it and go."""
        audit.note(request.user, Action.LOGGED_OUT)
        return super().post(request, *args, **kwargs)
