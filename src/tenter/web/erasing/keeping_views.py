"""Until when things are kept: of one client, and what of all clients is due; erased by a click, or kept longer."""

from http import HTTPStatus

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import Http404, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from tenter.web.erasing import due_erasing
from tenter.web.erasing.client_erasing import Erased
from tenter.web.erasing.keeping_forms import KeepingTimesForm, KeepUntilForm
from tenter.web.models import Client
from tenter.web.rules import access, audit, keeping
from tenter.web.rules.audit import Action
from tenter.web.rules.keeping import DatedKind, Thing
from tenter.web.rules.logged_in import UserRequest
from tenter.web.server import believed_clock
from tenter.web.server.clean_disk import Left

_ROWS = 100  # a page


# -- one client --------------------------------------------------------------------------------------------------------


@require_safe
@never_cache
def kept(request: UserRequest, pk: int) -> HttpResponse:
    """Show everything of a client with the day on which it is due."""
    client = access.owned_client(request.user, pk)
    context = {"client": client, "things": keeping.things_of(client)}
    return render(request, "erasing/person_kept.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def change(request: UserRequest, pk: int) -> HttpResponse:
    """Give one thing of a client another day, with a reason, or erase it now.

    Raises `Http404` for a thing that is not there or has its own page.
    """
    client = access.owned_client(request.user, pk)
    if "kind" not in request.GET:
        return redirect("person-kept", client.pk)
    thing = _asked(client, request.GET)
    form = KeepUntilForm(thing, request.POST if request.method == "POST" else None)
    if form.is_valid():
        day = form.cleaned_data["day"]
        if day:
            keeping.keep_until(thing, day, form.cleaned_data["reason"], request.user)
        else:
            keeping.keep_as_usual(thing)
        audit.note(request.user, Action.THING_KEPT, _said(client, thing))
        kept_until = _("Kept until %(day)s.") % {"day": date_format(day, "DATE_FORMAT")} if day else ""
        messages.success(request, kept_until or _("The studio’s months are used again."))
        return redirect("person-kept", client.pk)
    context = {"client": client, "thing": thing, "form": form}
    status = HTTPStatus.UNPROCESSABLE_ENTITY if form.is_bound else HTTPStatus.OK
    return render(request, "erasing/person_kept_change.html", context, status=status)


@require_POST
def erase(request: UserRequest, pk: int) -> HttpResponse:
    """Erase one thing of a client; a client as a whole has a page of its own.

    Raises `Http404` for a thing that is not there or has its own page.
    """
    client = access.owned_client(request.user, pk)
    thing = _asked(client, request.POST)
    if thing.kind is DatedKind.CLIENT:
        return redirect("person-erase", client.pk)
    _tell(request, due_erasing.erase_things([thing], request.user))
    return redirect("person-kept", client.pk)


def _asked(client: Client, said: QueryDict) -> Thing:
    """Return the thing that a request names, or answer 404; photographs are changed on their own pages."""
    for thing in keeping.things_of(client):
        if (thing.kind, str(thing.number)) == (said.get("kind"), said.get("of", "0")) and not thing.by_itself:
            return thing
    raise Http404


def _said(client: Client, thing: Thing) -> str:
    return f"{thing.kind} of {audit.said_of(client)}"


def _tell(request: UserRequest, done: Erased) -> None:
    (messages.warning if done.left is Left.MORE else messages.success)(request, str(done))


# -- all of them -------------------------------------------------------------------------------------------------------


@access.for_owner
@require_safe
@never_cache
def coming(request: UserRequest) -> HttpResponse:
    """Show what is due now, later this month, and next month."""
    today = timezone.localdate()
    things = keeping.coming(request.user, keeping.end_of_next_month(today))
    page = Paginator(things, _ROWS).get_page(request.GET.get("page"))
    now: list[Thing] = []
    later: list[Thing] = []
    after: list[Thing] = []
    for thing in page.object_list:
        this_month = (thing.day.year, thing.day.month) == (today.year, today.month)
        (now if thing.day <= today else later if this_month else after).append(thing)
    context = {
        "page": page,
        "parts": ((_("Due now"), now), (_("Later this month"), later), (_("Next month"), after)),
        "due": sum(thing.day <= today and not thing.by_itself for thing in things),
        "doubt": believed_clock.doubt(),
        "times": keeping.times_of(request.user),
    }
    return render(request, "erasing/studio_due.html", context)


@access.for_owner
@require_POST
def erase_due(request: UserRequest) -> HttpResponse:
    """Erase all that is due, if it is still as much as the page said; nothing by a doubtful clock."""
    doubt, things = believed_clock.doubt(), keeping.due(request.user)
    if doubt is not None:
        messages.error(request, _("Nothing was erased: %(reason)s.") % {"reason": doubt})
    elif request.POST.get("count") != str(len(things)):
        messages.warning(
            request, _("Nothing was erased, because the list has changed meanwhile. It now shows what is due.")
        )
    elif things:
        _tell(request, due_erasing.erase_things(things, request.user))
    return redirect("studio-due")


@access.for_owner
@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def times(request: UserRequest) -> HttpResponse:
    """Take for how many months the studio keeps what."""
    form = KeepingTimesForm(request.POST if request.method == "POST" else None, instance=keeping.times_of(request.user))
    if form.is_valid():
        form.save()
        audit.note(request.user, Action.KEEPING_SET)
        messages.success(request, _("The times are saved."))
        return redirect("studio-due")
    status = HTTPStatus.UNPROCESSABLE_ENTITY if form.is_bound else HTTPStatus.OK
    return render(request, "erasing/studio_times.html", {"form": form}, status=status)
