"""The day: who is next, somebody without an appointment, and what needs care."""

from http import HTTPStatus

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from tenter.light.check import LightVerdict
from tenter.web.day import needs_care, todays
from tenter.web.day.day_forms import AppointmentForm, WalkInForm
from tenter.web.day.new_card import make_card
from tenter.web.models import Appointment
from tenter.web.rules import access, audit
from tenter.web.rules.audit import Action
from tenter.web.rules.logged_in import UserRequest
from tenter.web.store import kept_lights


def day(request: UserRequest) -> HttpResponse:
    """Show today's clients in the order of the clock, and what needs care."""
    return show_day(request, WalkInForm())


def show_day(request: UserRequest, walk_in: WalkInForm) -> HttpResponse:
    """Draw the day with a form for a walk-in, which may have faults to show."""
    lines = todays.guests(request.user)
    light = kept_lights.lights_today(access.studio_owner(request.user)).first()
    done = kept_lights.check_in(light) if light else None
    context = {
        "guests": lines,
        "next": _next(lines),
        "concerns": needs_care.concerns(request.user),
        "light": {"row": light, "headline": done.headline} if done and done.verdict is not LightVerdict.FIX else None,
        "walk_in": walk_in,
        "has_kit": access.kits(request.user).exists(),
    }
    return render(request, "day/day.html", context, status=HTTPStatus.BAD_REQUEST if walk_in.errors else HTTPStatus.OK)


def _next(lines: list[todays.Guest]) -> todays.Guest | None:
    """Return the one line that the day's one button with weight belongs to: who sits, or who is expected next.

    Who sits without a verdict comes before whoever has seen theirs.
    """
    running = [line for line in lines if line.sitting is not None and line.running]
    blind = [line for line in running if line.sitting is not None and line.sitting.revealed_at is None]
    return next(iter(blind or running or [line for line in lines if line.sitting is None]), None)


@require_http_methods(["GET", "HEAD", "POST"])
def appointment_add(request: UserRequest) -> HttpResponse:
    """Put a client on a day."""
    form = AppointmentForm(request.user, request.POST or None, initial={"client": request.GET.get("client")})
    if request.method == "POST" and form.is_valid():
        said = dict(form.cleaned_data)
        if new := said.pop("new"):
            said["client"] = make_card(request.user, new)
        row = Appointment.objects.create(by=request.user, **said)
        audit.note(request.user, Action.APPOINTMENT_MADE, row.client)
        begins = timezone.localtime(row.begins)
        told = {
            "client": row.client,
            "day": date_format(begins, "MONTH_DAY_FORMAT"),
            "time": date_format(begins, "TIME_FORMAT"),
        }
        messages.success(request, _("%(client)s comes on %(day)s at %(time)s.") % told)
        return redirect("day")
    status = HTTPStatus.UNPROCESSABLE_ENTITY if form.errors else HTTPStatus.OK
    coming = access.appointments(request.user).filter(begins__date__gte=timezone.localdate())
    context = {"form": form, "coming": coming}
    return render(request, "day/appointments.html", context, status=status)


@require_POST
def appointment_remove(request: UserRequest, pk: int) -> HttpResponse:
    """Cross out an appointment."""
    row = access.appointment(request.user, pk)
    client = row.client
    row.delete()
    audit.note(request.user, Action.APPOINTMENT_CROSSED_OUT, client)
    messages.success(request, _("The appointment of %(client)s is crossed out.") % {"client": client})
    return redirect("appointments")
