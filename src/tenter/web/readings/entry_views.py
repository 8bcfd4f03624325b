"""Readings taken in: one after another by keyboard, each cloth in turn, or as a file."""

from http import HTTPStatus
from typing import Any

from django.contrib import messages
from django.contrib.auth.models import User
from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from tenter import Kit
from tenter.consultation.readings.cloth_reading import ClothReading
from tenter.consultation.readings.summary import ClothSummary, cloth_summaries
from tenter.language import local_number
from tenter.report.words.swatches import kit_swatches
from tenter.web.models import KitRecord
from tenter.web.readings.entry_form import REMEMBERED, ReadingForm, ReadingsFileForm
from tenter.web.rules import access
from tenter.web.rules.audit import Action, note
from tenter.web.rules.logged_in import UserRequest
from tenter.web.store import kept_readings, store

_SHOWN = 12  # cloths read today


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def enter(request: UserRequest, pk: int) -> HttpResponse:
    """Take a reading in and offer the next cloth, or show the form for one."""
    record = kept_readings.origin_of(access.kit(request.user, pk))
    kit = store.kit_of(record)
    if request.method != "POST":
        return _show(request, record, kit, ReadingForm(kit, initial=_initial(request, record, kit)))
    form = ReadingForm(kit, request.POST)
    if not form.is_valid():
        return _show(request, record, kit, form, HTTPStatus.UNPROCESSABLE_ENTITY)
    one: ClothReading = form.cleaned_data["reading"]
    with transaction.atomic():
        kept_readings.keep_readings(record, request.user, [one], form.cleaned_data["key"])
        note(request.user, Action.READINGS_ADDED, record)
    return _go_on(request, record, kit, one, form.cleaned_data["times"])


def _initial(request: UserRequest, record: KitRecord, kit: Kit) -> dict[str, Any]:
    """Return how the last reading was taken, for which cloth the next is, and how many of each there are."""
    asked, times = request.GET.get("cloth", ""), request.GET.get("times", "")
    found = {"cloth": asked if asked in kit else _unread(record, kit), **_remembered(request.user, record, kit)}
    return found | ({"times": times} if times.isascii() and times.isdecimal() else {})


def _remembered(user: User, record: KitRecord, kit: Kit) -> dict[str, Any]:
    last = record.readings.filter(by=user, document__source="").last()
    light = kit.colours.conditions
    usual = {"illuminant": light.illuminant, "observer": str(light.observer)}
    return usual | {name: last.document[name] for name in REMEMBERED if last and name in last.document}


def _unread(record: KitRecord, kit: Kit) -> str:
    """Return the first cloth that nobody has read today, or the first of the kit."""
    read = set(record.readings.filter(day=timezone.localdate(), set_aside=None).values_list("cloth", flat=True))
    return next((name for name in _in_order(kit) if name not in read), kit.ids[0])


def _in_order(kit: Kit) -> list[str]:
    """Return the cloths that are read one after another: no metals, of which one colour says little."""
    return [drape.id for drape in kit.drapes if not drape.is_metal]


def _go_on(request: UserRequest, record: KitRecord, kit: Kit, one: ClothReading, times: int) -> HttpResponse:
    """Say what was saved, and go on with the same cloth or the next."""
    readings = [r for r in kept_readings.book_of(record, one.cloth).readings if r.day == one.day]
    [summary] = cloth_summaries(readings, kit.colours.conditions)
    messages.success(request, _saved_words(summary, len(readings)))
    following = one.cloth if len(readings) < times else _after(kit, one.cloth)
    if not following:
        messages.success(request, _("That was the last cloth of the kit."))
        return redirect("kit-readings", record.pk)
    return redirect(reverse("reading-enter", args=[record.pk], query={"cloth": following, "times": times}))


def _saved_words(summary: ClothSummary, readings: int) -> str:
    said = ngettext("%(cloth)s: %(count)s reading saved.", "%(cloth)s: %(count)s readings saved.", readings) % {
        "cloth": summary.cloth,
        "count": readings,
    }
    lab = {axis: local_number(value, 1) for axis, value in zip("Lab", summary.lab, strict=True)}
    if summary.mcdm is None:
        return f"{said} " + _("L* %(L)s, a* %(a)s, b* %(b)s.") % lab
    mark = "▲ " if summary.is_wide else ""
    spread = {"spread": local_number(summary.mcdm, 1)}
    return f"{mark}{said} " + _("Mean L* %(L)s, a* %(a)s, b* %(b)s, spread ΔE00 %(spread)s.") % (lab | spread)


def _after(kit: Kit, cloth: str) -> str:
    """Return the next cloth to read after one; empty after the last."""
    order, place = _in_order(kit), kit.row(cloth)
    return next((name for name in order if kit.row(name) > place), "")


def _show(request: UserRequest, record: KitRecord, kit: Kit, form: ReadingForm, status: int = 200) -> HttpResponse:
    cloth = str(form["cloth"].value() or "")
    today = timezone.localdate()
    rows = record.readings.filter(day=today, set_aside=None).order_by("-pk")
    order = list(dict.fromkeys(rows.values_list("cloth", flat=True)))[:_SHOWN]
    readings = [kept_readings.kept_reading(row) for row in rows.filter(cloth__in=order)]
    summaries = {one.cloth: one for one in cloth_summaries(readings, kit.colours.conditions)}
    context = {
        "record": record,
        "form": form,
        **({"drape": kit[cloth], "swatch": kit_swatches(kit)[cloth]} if cloth in kit else {}),
        "number": len(summaries[cloth].readings) + 1 if cloth in summaries else 1,
        "today": [summaries[name] for name in order],
        "begun": record.readings.exists(),
    }
    return render(request, "readings/enter.html", context, status=status)


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def add_file(request: UserRequest, pk: int) -> HttpResponse:
    """Take a file of readings in, all of it or nothing."""
    record = kept_readings.origin_of(access.kit(request.user, pk))
    kit = store.kit_of(record)
    if request.method != "POST":
        form = ReadingsFileForm(kit, initial=_remembered(request.user, record, kit))
        return render(request, "readings/file.html", {"record": record, "form": form})
    form = ReadingsFileForm(kit, request.POST, request.FILES)
    if not form.is_valid():
        status = HTTPStatus.UNPROCESSABLE_ENTITY
        return render(request, "readings/file.html", {"record": record, "form": form}, status=status)
    found = form.cleaned_data["found"]
    with transaction.atomic():
        new = kept_readings.not_yet_kept(record, found.readings)
        kept_readings.keep_readings(record, request.user, new, form.cleaned_data["key"])
        note(request.user, Action.READINGS_ADDED, record)
    for remark in (_added_words(len(new), len(found.readings)), *found.remarks):
        messages.success(request, remark)
    return redirect("kit-readings", record.pk)


def _added_words(new: int, came: int) -> str:
    added = (
        ngettext("%(count)s reading added.", "%(count)s readings added.", new) % {"count": new}
        if new
        else _("No reading added.")
    )
    already = came - new
    there = ngettext("%(count)s was there already.", "%(count)s were there already.", already) % {"count": already}
    return f"{added} {there}" if already else added
