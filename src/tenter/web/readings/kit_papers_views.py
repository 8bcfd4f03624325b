"""A kit on paper and as pictures: its health, labels for its cloths, two of its cloths beside one another."""

from collections.abc import Sequence
from dataclasses import replace

from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.safestring import mark_safe
from django.utils.text import slugify
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from tenter.consultation.axes import Axis
from tenter.consultation.conventions.bundled import DEFAULT_METHOD
from tenter.consultation.laid_out.audit import audit
from tenter.consultation.laid_out.bench import bench_of
from tenter.consultation.laid_out.pair_quality import PairQuality
from tenter.errors import TenterError
from tenter.report.workshop.checked_kit import checked_kit
from tenter.report.workshop.kit_health import kit_health
from tenter.report.workshop.labels import label_pdf, label_sheets
from tenter.report.workshop.workshop_paper import workshop_pdf
from tenter.report.workshop_pictures.pair_sheet import pair_shown, pair_svg
from tenter.web.readings.kept_worth import kept_worth
from tenter.web.rules import access
from tenter.web.rules.logged_in import UserRequest
from tenter.web.server.shown_paper import shown_paper
from tenter.web.store import kept_readings, store

_YES = "yes"


@require_safe
@never_cache
def health(request: UserRequest, pk: int) -> HttpResponse:
    """Give the paper on a kit's health today; with ?to-buy=yes also what to buy, or lead to where it is worked out."""
    record = kept_readings.origin_of(access.kit(request.user, pk))
    worth = kept_worth(record, 0).worth if request.GET.get("to-buy") == _YES else None
    if worth is None and "to-buy" in request.GET:
        return redirect("kit-to-buy", record.pk)

    def made() -> tuple[bytes, tuple[str, ...]]:
        kit, method, book = store.kit_of(record), store.method_named(DEFAULT_METHOD), kept_readings.book_of(record)
        checked = checked_kit(kit, method, timezone.localdate().isoformat(), book)
        return workshop_pdf(kit_health(replace(checked, worth=worth), access.studio_name(record.owner)))

    return shown_paper(request, made, f"kit-health-{slugify(record.name) or 'kit'}.pdf", "kit-readings", record.pk)


@require_safe
@never_cache
def labels(request: UserRequest, pk: int) -> HttpResponse:
    """Give labels for the cloths; with ?pages=yes a phone that reads a label's code opens the cloth's page."""
    record = kept_readings.origin_of(access.kit(request.user, pk))
    page = request.build_absolute_uri(f"{reverse('kit-cloth', args=[record.pk])}?cloth=")
    address = page if request.GET.get("pages") == _YES else ""

    def made() -> tuple[bytes, tuple[str, ...]]:
        sheets = label_sheets(store.kit_of(record).drapes, address=address)
        return label_pdf(sheets, timezone.localdate().isoformat())

    return shown_paper(request, made, f"labels-{slugify(record.name) or 'kit'}.pdf", "kit-readings", record.pk)


@require_safe
@never_cache
def pair(request: UserRequest, pk: int) -> HttpResponse:
    """Show two cloths of a kit large on grey, with what they differ in; the first test pair where none is named.

    Raises `Http404` for cloths that the kit does not have or that no colour shows.
    """
    record = access.kit(request.user, pk)
    bench = bench_of(kept_readings.kit_today(record).kit, store.method_named(DEFAULT_METHOD))
    tested = [one for test in audit(bench.kit, bench.method).tests for one in test.pairs]
    asked = [(request.GET.get("first", ""), request.GET.get("second", ""))]
    named = asked if "first" in request.GET else [(one.first, one.second) for one in tested]
    for first, second in named:
        try:
            shown = pair_shown(bench, first, second, _axis(request.GET.get("for", ""), tested, {first, second}))
        except TenterError:
            continue
        context = {"record": record, "title": shown.title, "picture": mark_safe(pair_svg(shown))}
        return render(request, "readings/pair.html", context)
    raise Http404


def _axis(said: str, tested: Sequence[PairQuality], cloths: set[str]) -> Axis | None:
    """Return what a pair is to test: as asked, as the kit's roles have it, or None where neither says so."""
    if said in list(Axis):
        return Axis(said)
    return next((one.axis for one in tested if {one.first, one.second} == cloths), None)
