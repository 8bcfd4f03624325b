"""The day: what goes on, and a new sitting."""

from http import HTTPStatus

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone

from tenter.web.people.forms import StartForm
from tenter.web.rules import access
from tenter.web.rules.consents import ConsentMissing
from tenter.web.rules.logged_in import UserRequest
from tenter.web.store import kept_lights


def day(request: UserRequest) -> HttpResponse:
    """Show the sittings that go on and those of today that have ended."""
    return show_day(request, StartForm(request.user))


def show_day(request: UserRequest, form: StartForm, lacking: ConsentMissing | None = None) -> HttpResponse:
    """Draw the day with a form to start a sitting, which may have faults to show. lacking: why none was started."""
    own = access.sittings(request.user)
    light = kept_lights.lights_today(access.studio_owner(request.user)).first()
    context = {
        "light": {"row": light, "headline": kept_lights.check_in(light).headline} if light else None,
        "running": own.filter(ended__isnull=True),
        "ended": own.filter(ended__date=timezone.localdate()),
        "form": form,
        "lacking": lacking,
        "has_client": access.clients(request.user).exists(),
        "has_kit": access.kits(request.user).exists(),
    }
    status = HTTPStatus.BAD_REQUEST if form.errors else HTTPStatus.CONFLICT if lacking else HTTPStatus.OK
    return render(request, "people/day.html", context, status=status)
