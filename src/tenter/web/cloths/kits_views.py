"""The kits: their cloths drawn, what they cover, and what to look for."""

from collections.abc import Sequence
from http import HTTPStatus
from typing import Any

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from tenter.consultation.cloths.kit_rows import kit_template
from tenter.consultation.cloths.photographed import is_photographed
from tenter.consultation.cloths.typed_cloth import HEX_NOTE
from tenter.consultation.conventions.bundled import BUNDLED, DEFAULT_METHOD
from tenter.consultation.laid_out.audit import FindingKind, audit
from tenter.consultation.laid_out.bench import bench_of
from tenter.consultation.laid_out.coverage import KitCoverage, Strength
from tenter.consultation.laid_out.pair_on_skins import PAIR_SKINS
from tenter.consultation.laid_out.pair_quality import PairQuality
from tenter.consultation.words.terms import axis
from tenter.consultation.worth.reach import reach_findings
from tenter.language import all_of, local_number
from tenter.report.words import terms
from tenter.report.words.swatches import Swatch, colour_note, kit_swatches
from tenter.web.cloths.column_forms import ColumnsForm
from tenter.web.cloths.kit_fields import kit_fields
from tenter.web.cloths.kit_forms import KitForm
from tenter.web.cloths.started_kit_forms import StartKitForm
from tenter.web.rules import access
from tenter.web.rules.audit import Action, note
from tenter.web.rules.logged_in import UserRequest
from tenter.web.sent.looking_up import look_up
from tenter.web.store import kept_readings, store

_CLOTHS = 120  # a page
_MOST_RAILS = 12  # places that are drawn each as a rail; set by judgement


def kits(request: UserRequest) -> HttpResponse:
    """List the user's kits, and the methods by which sittings on them go."""
    context = {
        "kits": access.kits(request.user),
        "started": access.started_kits(request.user),
        "bundled": [terms.method_title(store.method_named(name).title) for name in BUNDLED],
        "methods": access.methods(request.user),
        "own_studio": access.owns_studio(request.user),
    }
    return render(request, "cloths/kits.html", context)


def kit(request: UserRequest, pk: int) -> HttpResponse:
    """Show a kit."""
    record = access.kit(request.user, pk)
    today = kept_readings.kit_today(record)
    cloths = today.kit
    method = store.method_named(DEFAULT_METHOD)
    found = audit(cloths, method)
    swatches = list(kit_swatches(cloths).values())
    context = {
        "record": record,
        "list": look_up(request, swatches, lambda s: (s.id, s.name, s.words, s.place or ""), per_page=_CLOTHS),
        "rails": _rails(swatches),
        "colour_note": colour_note(cloths.colours),
        "photographed": sum(map(is_photographed, cloths.drapes)),
        "by_hex": sum(HEX_NOTE in drape.notes and drape.id not in today.taken for drape in cloths.drapes),
        "method": terms.method_title(method.title),
        "audit": found,
        **_covered(found.coverage),
        "gaps": found.of_kind(FindingKind.GAP),
        "pair_skins": [_("%(light)s skin") % {"light": terms.skin_light(skin)} for skin in PAIR_SKINS],
        "tested": [_tested(pair) for test in found.tests for pair in test.pairs],
        "undecided": reach_findings(bench_of(cloths, method)),
        "mixed": found.of_kind(FindingKind.MIXED_PAIR),
        "others": [f for f in found.findings if f.kind not in (FindingKind.GAP, FindingKind.MIXED_PAIR)],
    }
    return render(request, "cloths/kit.html", context)


def _rails(swatches: Sequence[Swatch]) -> list[tuple[str, list[Swatch]]]:
    """Return the cloths as they hang, place by place; in one row where none has a place or hardly two share one."""
    rails: dict[str, list[Swatch]] = {}
    for swatch in swatches:
        rails.setdefault(swatch.place or "", []).append(swatch)
    return list(rails.items()) if len(rails) <= _MOST_RAILS else [("", list(swatches))]


def _covered(coverage: KitCoverage) -> dict[str, Any]:
    """Return how many cloths there are of each hue family, by lightness and strength, and of each category."""
    return {
        "levels": [terms.at_the_head(level) for level in coverage.hues[0].levels],
        "strengths": [terms.at_the_head(strength) for strength in Strength],
        "hues": [
            {
                "called": terms.hue(row.hue_family),
                "levels": [*row.levels.values()],
                "strengths": [*row.strengths.values()],
                "total": row.total,
            }
            for row in coverage.hues
        ],
        "categories": [(terms.season(category), count) for category, count in coverage.categories.items()],
    }


def _tested(pair: PairQuality) -> dict[str, Any]:
    """Return a row about a test pair: what it tests, what else it differs in, and what it does to each skin."""
    return {
        "first": pair.first,
        "second": pair.second,
        "both": all_of([pair.first, pair.second]),
        "axis": axis(pair.axis),
        "mixed": all_of([terms.also_differs_in(thing) for thing in pair.mixed]),
        "skins": [f"{local_number(on.jaw, 1)}{'' if on.visible else ' –'}" for on in pair.on_skins],
    }


def add(request: UserRequest) -> HttpResponse:
    """Show the ways to a kit, and take in a table; one with other headings is asked about, and not kept until then."""
    form = KitForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid():
        said = form.cleaned_data
        if form.is_named_otherwise:
            initial = {"name": said["name"], "text": said["table"]}
            return _name_columns(request, ColumnsForm(said["table"], initial=initial))
        return _added(request, said["name"], said["table"])
    context = {"form": form, "start": StartKitForm(), "fields": kit_fields()}
    return render(request, "cloths/kit_form.html", context)


@require_POST
@never_cache
def columns(request: UserRequest) -> HttpResponse:
    """Take in a table whose columns were named by click."""
    form = ColumnsForm(request.POST.get("text", ""), request.POST)
    if not form.is_valid():
        return _name_columns(request, form, HTTPStatus.UNPROCESSABLE_ENTITY)
    return _added(request, form.cleaned_data["name"], form.cleaned_data["table"])


@require_safe
def template(_request: UserRequest) -> HttpResponse:
    """Send a table to fill in."""
    headers = {"Content-Disposition": 'attachment; filename="kit-template.csv"'}
    return HttpResponse(f"\ufeff{kit_template()}", content_type="text/csv; charset=utf-8", headers=headers)


def _name_columns(request: UserRequest, form: ColumnsForm, status: int = 200) -> HttpResponse:
    return render(request, "cloths/kit_columns.html", {"form": form}, status=status)


def _added(request: UserRequest, name: str, table: str) -> HttpResponse:
    record = store.add_kit(access.studio_owner(request.user), name, table)
    note(request.user, Action.KIT_ADDED, record)
    return redirect("kit", record.pk)
