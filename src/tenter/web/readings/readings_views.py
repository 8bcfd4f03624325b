"""A kit's readings: which cloths to look at, each cloth's readings over time, and what becomes of it."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from http import HTTPStatus
from itertools import groupby
from typing import Any

from django.contrib import messages
from django.db import transaction
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.safestring import mark_safe
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from tenter import Kit
from tenter.consultation.cloths.kit import Drape
from tenter.consultation.conventions.bundled import DEFAULT_METHOD
from tenter.consultation.fading.drift import ClothDrift
from tenter.consultation.fading.kit_drift import KitDrift, kit_drift
from tenter.consultation.laid_out.bench import bench_of
from tenter.consultation.readings.book import ReadingBook
from tenter.consultation.readings.summary import ClothSummary, cloth_summaries
from tenter.language import local_number, long_date
from tenter.report.on_screen.drift_words import pair_words, trend_words
from tenter.report.on_screen.reading_words import reading_line
from tenter.report.words.swatches import kit_swatches, lab_numbers
from tenter.report.words.wording import sentence
from tenter.report.workshop_pictures.coverage_picture import coverage_shown, coverage_svg
from tenter.report.workshop_pictures.drift_picture import drift_shown, drift_svg
from tenter.web.models import KeptReading, KitRecord, SetAsideReading
from tenter.web.readings.entry_form import WashForm
from tenter.web.rules import access
from tenter.web.rules.audit import Action, note
from tenter.web.rules.logged_in import UserRequest
from tenter.web.sent.looking_up import look_up
from tenter.web.store import kept_readings, store

_CLOTHS = 120  # a page
_DRAWN = 3  # of the cloths that have changed most


@require_safe
@never_cache
def readings(request: UserRequest, pk: int) -> HttpResponse:
    """Show a kit's cloths with their readings: which have changed, which readings spread."""
    record = kept_readings.origin_of(access.kit(request.user, pk))
    kit, book = store.kit_of(record), kept_readings.book_of(record)
    drift = _drift(request, record, book)
    latest = {one.cloth: one for one in cloth_summaries(book.readings, kit.colours.conditions)}  # the last day's stays
    changed = {one.cloth: one for one in drift.drifts}
    today = kept_readings.kit_today(record).kit
    swatches = kit_swatches(today)
    rows = [
        {
            "swatch": swatches[name],
            "latest": latest.get(name),
            "drift": changed.get(name),
            "read": _read_on(latest, name),
        }
        for name in kit.ids
    ]
    context = {
        "record": record,
        "changed": [_changed(kit, drift, one) for one in drift.drifts if one.has_drifted or drift.pairs_of(one.cloth)],
        "drawn": [
            (one.cloth, _drift_picture(book, kit[one.cloth])) for one in drift.drifts[:_DRAWN] if one.has_drifted
        ],
        "wide": [(one, long_date(one.day)) for one in latest.values() if one.is_wide],
        "count": len(book.readings),
        "coverage": mark_safe(coverage_svg(coverage_shown(bench_of(today, store.method_named(DEFAULT_METHOD))))),
        "list": look_up(request, rows, _found_by, per_page=_CLOTHS),
    }
    return render(request, "readings/readings.html", context)


def _read_on(latest: Mapping[str, ClothSummary], name: str) -> str:
    """Return the day on which a cloth was last read, empty for one without readings."""
    return long_date(latest[name].day) if name in latest else ""


def _found_by(row: Mapping[str, Any]) -> Iterable[str]:
    return row["swatch"].id, row["swatch"].name


def _drift(request: UserRequest, record: KitRecord, book: ReadingBook) -> KitDrift:
    method, days = store.method_named(DEFAULT_METHOD), [reading.day for reading in book.readings]
    uses = kept_readings.uses_of(request.user, record, date.fromisoformat(min(days))) if days else ()
    return kit_drift(book, store.kit_of(record), method, uses)


def _changed(kit: Kit, drift: KitDrift, one: ClothDrift) -> dict[str, Any]:
    """Return what has become of a cloth: one line, and what to know beside it."""
    pairs, uses = drift.pairs_of(one.cloth), drift.uses[one.cloth]
    said = [sentence(one.direction)]
    if pairs:
        no_longer = ngettext("%(count)s pair no longer matches", "%(count)s pairs no longer match", len(pairs))
        said.append(no_longer % {"count": len(pairs)})
    used = ngettext("used in %(count)s sitting since", "used in %(count)s sittings since", len(uses.since))
    said.append(used % {"count": len(uses.since)})
    more = [f"{pair_words(pairs)}."] if pairs else []
    more += [trend_words(one.trend)] if one.trend else []
    return {
        "cloth": one.cloth,
        "name": kit[one.cloth].name,
        "said": f"{'; '.join(said)}.",
        "drifted": one.has_drifted,
        "delta_e": local_number(one.delta_e, 1),
        "since": long_date(one.baseline.day),
        "grade": one.grade.step,
        "more": [*more, *one.doubts],
        "sheets": [(*pair.cloths, pair.after.axis) for pair in pairs],
    }


# -- one cloth ---------------------------------------------------------------------------------------------------------


@require_safe
@never_cache
def cloth(request: UserRequest, pk: int) -> HttpResponse:
    """Show a cloth: its colour today, every reading, what has become of it, and its washes.

    Raises `Http404` for a cloth that the kit does not have.
    """
    record = kept_readings.origin_of(access.kit(request.user, pk))
    return _show(request, record, _named(record, request.GET.get("cloth")), WashForm())


def _named(record: KitRecord, name: str | None) -> str:
    """Return a cloth of a kit, the first where none is named, or answer 404."""
    kit = store.kit_of(record)
    if name is None:
        return kit.ids[0]
    if name not in kit:
        raise Http404
    return name


def _show(request: UserRequest, record: KitRecord, name: str, form: WashForm, status: int = 200) -> HttpResponse:
    kit, book = store.kit_of(record), kept_readings.book_of(record, name)
    drift = _drift(request, record, book)
    now = kept_readings.kit_today(record)
    taken = now.taken.get(name)
    row, ids = kit.row(name), kit.ids
    context = {
        "record": record,
        "drape": kit[name],
        "swatch": kit_swatches(now.kit)[name],
        "numbers": lab_numbers(now.kit.lab[row], now.kit.colours.conditions),
        "taken": taken,
        "taken_on": long_date(taken.day) if taken else "",
        "changed": [_changed(kit, drift, one) for one in drift.drifts],
        "picture": _drift_picture(book, kit[name]) if drift.drifts else "",
        "days": _days(record, name, cloth_summaries(book.readings, kit.colours.conditions)),
        "washes": record.washes.filter(cloth=name).select_related("by").order_by("-day", "-pk"),
        "form": form,
        "before": ids[row - 1] if row else "",
        "after": ids[row + 1] if row + 1 < len(ids) else "",
    }
    return render(request, "readings/cloth.html", context, status=status)


def _drift_picture(book: ReadingBook, drape: Drape) -> str:
    """Return how a cloth with readings of two days has changed, drawn."""
    return mark_safe(drift_svg(drift_shown(book.readings, book.washes, drape.id, drape.name)))


def _days(record: KitRecord, name: str, summaries: Sequence[ClothSummary]) -> list[dict[str, Any]]:
    """Return the days on which a cloth was read, the last first, each with every reading that was kept."""
    of_day = {one.day: one for one in summaries}
    rows = record.readings.filter(cloth=name).select_related("by", "set_aside__by").order_by("-day", "pk")
    return [
        {
            "day": day,
            "summary": of_day.get(day.isoformat()),
            "rows": [(row, reading_line(kept_readings.kept_reading(row))) for row in kept],
        }
        for day, kept in groupby(rows, key=lambda row: row.day)
    ]


@require_POST
def wash(request: UserRequest, pk: int) -> HttpResponse:
    """Note that a cloth was washed or cleaned.

    Raises `Http404` for a cloth that the kit does not have.
    """
    record = kept_readings.origin_of(access.kit(request.user, pk))
    name, form = _named(record, request.POST.get("cloth")), WashForm(request.POST)
    if not form.is_valid():
        return _show(request, record, name, form, HTTPStatus.UNPROCESSABLE_ENTITY)
    with transaction.atomic():
        kept_readings.keep_wash(record, request.user, form.wash_for(name), form.cleaned_data["key"])
        note(request.user, Action.WASH_NOTED, record)
    messages.success(request, _("%(cloth)s: the wash is in the log.") % {"cloth": name})
    return redirect(reverse("kit-cloth", args=[record.pk], query={"cloth": name}))


@require_POST
def set_aside(request: UserRequest, pk: int) -> HttpResponse:
    """Let a reading no longer count; it is still kept and shown."""
    row = access.reading(request.user, pk)
    with transaction.atomic():
        SetAsideReading.objects.get_or_create(reading=row, defaults={"by": request.user})
        note(request.user, Action.READING_SET_ASIDE, row)
    messages.success(request, _("The reading no longer counts."))
    return redirect(_page_of(row))


def _page_of(row: KeptReading) -> str:
    return reverse("kit-cloth", args=[row.kit_id], query={"cloth": row.cloth})
