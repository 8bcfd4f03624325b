"""The studio's own pages, for its owner: associates, who sees whom, the log and the backup."""

from django.contrib import messages
from django.contrib.auth.models import User
from django.core.paginator import Paginator
from django.db import transaction
from django.db.models import Count, Q, QuerySet
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_POST

from tenter.web.models import Access, Associate, AuditEntry, Sitting, StudioName
from tenter.web.replays import catching_up
from tenter.web.rules import access, audit, keeping
from tenter.web.rules.audit import Action
from tenter.web.rules.client_language import studio_language
from tenter.web.rules.logged_in import UserRequest
from tenter.web.sealing import photo_keys
from tenter.web.sealing.daily_note import read_daily
from tenter.web.sent.row_numbers import row_number
from tenter.web.server import time_zone
from tenter.web.server.in_language import in_language, own_name
from tenter.web.studio.account_views import answers_of
from tenter.web.studio.forms import AssociateForm, PasswordForm, StudioLanguageForm, StudioNameForm, ZoneForm
from tenter.web.sweeping import photo_sweep

_LOG_LINES = 50  # a page
_SETTING = "studio/studio_setting.html"


@access.for_owner
def studio(request: UserRequest) -> HttpResponse:
    """Show who works here, which clients are read twice, the latest of the log, and the backup."""
    held = Count("user__accesses", distinct=True)
    asked = Sitting.objects.filter(client__owner=request.user, blind_to__isnull=False)
    seconds = list(asked.select_related("client", "analyst", "blind_to__analyst"))
    comparable = (access.double_readings, access.to_compare) if seconds else ()  # both look through every sitting
    context = {
        "associates": access.associates(request.user).annotate(held=held),
        "seconds": seconds,
        "ready": {row.pk for found in comparable for row in found(request.user)},
        "log": _log(request)[:5],
        "tongue": own_name(studio_language(request.user)),
        "due": len(keeping.due(request.user)),
        **_photographs(request),
        **answers_of(request.user),
        "daily": read_daily() if request.user.is_superuser else None,
        "replayed": catching_up.progress() if request.user.is_superuser else None,
    }
    return render(request, "studio/studio.html", context)


def _photographs(request: UserRequest) -> dict[str, object]:
    days = photo_sweep.days_of_deletion(request.user)
    return {
        "photographs": len(days),
        "next_deleted": min(days, default=None),
        "keeper": photo_keys.keeper(),
        "locked": photo_keys.problem() if days else "",
    }


@require_POST
def make_key_file(request: UserRequest) -> HttpResponse:
    """Keep the photographs' key in a file, on the word of whoever opened the studio on this machine; else `Http404`."""
    if not request.user.is_superuser:
        raise Http404
    try:
        photo_keys.make_key_file()
    except photo_keys.Locked as error:
        messages.error(request, f"{error}.")
    else:
        audit.note(request.user, Action.PHOTOGRAPH_KEY)
        messages.success(request, _("Photographs can be kept now. Their key is in the data folder."))
    return redirect("studio")


@access.for_owner
def zone(request: UserRequest) -> HttpResponse:
    """Take the zone by which days and times are told, from whoever opened the studio on this machine.

    Raises `Http404` for anybody else.
    """
    if not request.user.is_superuser:
        raise Http404
    form = ZoneForm(request.POST or None, initial={"zone": timezone.get_default_timezone_name()})
    if request.method == "POST" and form.is_valid():
        time_zone.set_zone(form.cleaned_data["zone"])
        audit.note(request.user, Action.ZONE_SET, form.cleaned_data["zone"])
        shown = {"zone": form.cleaned_data["zone"].replace("_", " ")}
        messages.success(request, _("Times are now shown for %(zone)s.") % shown)
        return redirect("studio")
    about = _("Tenter uses it to show days and times and to delete photographs on their day.")
    return render(request, _SETTING, {"form": form, "title": _("The studio’s time zone"), "about": about})


@require_POST
def confirm_date(request: UserRequest) -> HttpResponse:
    """Believe the machine's date, on the word of whoever opened the studio, and delete what is due by it.

    Raises `Http404` for anybody else.
    """
    if not request.user.is_superuser:
        raise Http404
    messages.success(request, _confirmed(photo_sweep.sweep_by_this_date(request.user).photographs))
    return redirect("studio")


def _confirmed(deleted: int) -> str:
    if not deleted:
        return _("The date is confirmed: no photograph was due.")
    return ngettext(
        "The date is confirmed: %(count)s photograph past the promised day is deleted.",
        "The date is confirmed: %(count)s photographs past the promised day are deleted.",
        deleted,
    ) % {"count": deleted}


def _named(owner: User) -> StudioName:
    return StudioName.objects.filter(owner=owner).first() or StudioName(owner=owner)


@access.for_owner
def name(request: UserRequest) -> HttpResponse:
    """Take the studio's name."""
    row = _named(request.user)
    form = StudioNameForm(request.POST if request.method == "POST" else None, instance=row)
    if request.method == "POST" and form.is_valid():
        with transaction.atomic():
            form.save()
            audit.note(request.user, Action.STUDIO_NAMED)
        messages.success(request, _("The name is kept.") if form.instance.name else _("The studio has no name now."))
        return redirect("studio")
    return render(request, _SETTING, {"form": form, "title": _("The studio’s name")})


@access.for_owner
def language(request: UserRequest) -> HttpResponse:
    """Take the language of the studio's screens and papers, and answer in it."""
    row = _named(request.user)
    form = StudioLanguageForm(request.POST if request.method == "POST" else None, instance=row)
    if request.method == "POST" and form.is_valid():
        chosen = own_name(form.cleaned_data["language"])
        with transaction.atomic():
            form.save()
            audit.note(request.user, Action.LANGUAGE_CHOSEN, chosen)
        with in_language(row.language):
            messages.success(request, _("Language of screens and new papers: %(language)s.") % {"language": chosen})
        return redirect("studio")
    return render(request, _SETTING, {"form": form, "title": _("The studio’s language")})


@access.for_owner
def log(request: UserRequest) -> HttpResponse:
    """Show the audit log, a page at a time, the latest first."""
    page = Paginator(_log(request), _LOG_LINES).get_page(request.GET.get("page"))
    return render(request, "studio/studio_log.html", {"page": page})


def _log(request: UserRequest) -> QuerySet[AuditEntry]:
    """Return the lines of an owner and of those who work for them; of nobody's tries, those on their machine."""
    mine = Q(user=request.user) | Q(user__associate_of__owner=request.user)
    if request.user.is_superuser:
        mine |= Q(user__isnull=True)
    return AuditEntry.objects.filter(mine).select_related("user")


# -- associates --------------------------------------------------------------------------------------------------------


@access.for_owner
def add_associate(request: UserRequest) -> HttpResponse:
    """Add an associate, or let one who left come back."""
    form = AssociateForm(request.user, request.POST or None)
    if request.method == "POST" and form.is_valid():
        with transaction.atomic():
            associate = form.save()
            audit.note(request.user, Action.ASSOCIATE_ADDED, associate.user)
        said = _("%(name)s can log in. They see the clients that you let them see.")
        messages.success(request, said % {"name": associate.user.username})
        return redirect("studio")
    return render(request, "studio/associate_form.html", {"form": form})


@access.for_owner
@require_POST
def remove_associate(request: UserRequest) -> HttpResponse:
    """Take an associate's login and accesses away; what they did stays."""
    associate = _associate(request, request.POST.get("of", ""))
    with transaction.atomic():
        Access.objects.filter(user=associate.user, client__owner=request.user).delete()
        associate.user.is_active = False
        associate.user.save()
        audit.note(request.user, Action.ASSOCIATE_REMOVED, associate.user)
    said = _("%(name)s cannot log in any more. Their sittings stay.")
    messages.success(request, said % {"name": associate.user.username})
    return redirect("studio")


@access.for_owner
def set_password(request: UserRequest) -> HttpResponse:
    """Set an associate's password anew."""
    sent = request.POST if request.method == "POST" else request.GET
    associate = _associate(request, sent.get("of", ""))
    form = PasswordForm(associate.user, request.POST or None)
    if request.method == "POST" and form.is_valid():
        associate.user.set_password(form.cleaned_data["password"])
        associate.user.save()
        audit.note(request.user, Action.PASSWORD_SET, associate.user)
        messages.success(request, _("%(name)s has a new password.") % {"name": associate.user.username})
        return redirect("studio")
    return render(request, "studio/associate_form.html", {"form": form, "associate": associate})


def _associate(request: UserRequest, number: str) -> Associate:
    return get_object_or_404(access.associates(request.user), pk=row_number(number))
