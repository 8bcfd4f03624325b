"""One photograph of cloths: how far it is, the colours that were read, and the numbers that they are given."""

from http import HTTPStatus
from typing import Any

from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from tenter.errors import TenterError
from tenter.web.cloths import cloth_page
from tenter.web.cloths.forms import (
    NOTHING_TO_COUNT_ON,
    SHOWN,
    AgainForm,
    ClothDateForm,
    CountForm,
    NumbersForm,
    numbered_places,
)
from tenter.web.models import ClothPhotograph
from tenter.web.photographs import measured_views
from tenter.web.photographs.card_forms import CARD_CHOICES, figures_of
from tenter.web.pictures import cloth_measuring, tries
from tenter.web.pictures.cloth_measuring import ClothResult
from tenter.web.rules import access
from tenter.web.rules.audit import Action
from tenter.web.rules.logged_in import UserRequest


@require_safe
@never_cache
def photograph(request: UserRequest, pk: int) -> HttpResponse:
    """Show the cloths that were found, or how far it is."""
    return _show(request, access.cloth_photograph(request.user, pk))


def _show(request: UserRequest, row: ClothPhotograph, status: int = 200, **forms: Any) -> HttpResponse:
    """Show a photograph, with the forms that could not be taken as they came."""
    result, problem = measured_views.outcome(row, cloth_measuring.cloth_result_of)
    laid_out = {"shows": row.shows, "rows": row.rows, "columns": row.columns}
    page = cloth_page.cloth_page_content(row, result, forms.get("numbers")) if result else {}
    if result:
        laid_out["outline"] = page["outline"]
    context = {
        **page,
        "photograph": row,
        "may_erase": access.may_erase(request.user, row),
        "said": SHOWN[row.shows],
        "result": result,
        "problem": problem,
        "card": CARD_CHOICES.get(row.chart, row.chart),
        "figures": figures_of(row),
        "again_form": forms.get("again") or AgainForm(initial=laid_out, auto_id="again-%s"),
        "count_form": forms.get("count") or CountForm(initial={"first": page.get("first")}, auto_id="count-%s"),
        "date_form": forms.get("date") or ClothDateForm(initial={"deletes_on": row.deletes_on}),
    }
    return render(request, "cloths/cloth_photograph.html", context, status=status)


state = measured_views.state_of(access.cloth_photograph)
picture = measured_views.picture_of(access.cloth_photograph)
small = measured_views.small_of(access.cloth_photograph)


# -- read another way, dated, erased -----------------------------------------------------------------------------------


@require_POST
def again(request: UserRequest, pk: int) -> HttpResponse:
    """Measure again: with other rows and columns, as something else, or where the cloths are said to be."""
    row = access.cloth_photograph(request.user, pk)
    form = AgainForm(request.POST, auto_id="again-%s")
    if not form.is_valid():
        return _show(request, row, HTTPStatus.UNPROCESSABLE_ENTITY, again=form)
    try:
        sealed = tries.sealed_corrections(row.name, form.where)
    except TenterError as error:
        form.add_error(None, f"{error}.")
        return _show(request, row, HTTPStatus.CONFLICT, again=form)
    said = form.cleaned_data
    kept = {"shows": said["shows"], "rows": said["rows"], "columns": said["columns"]}
    changed = kept != {name: getattr(row, name) for name in kept}
    numbers = _counted_anew(row, said) if changed else row.numbers
    measured_views.anew(request, row, corrections=sealed, numbers=numbers, **kept)
    return redirect("cloth-photograph", row.pk)


def _counted_anew(row: ClothPhotograph, said: dict[str, Any]) -> dict[str, str]:
    """Return numbers for another layout, counted on from the first there was; none where that has nothing to count."""
    first = next(iter(row.numbers.values()), "")
    try:
        return numbered_places(said | {"first": first, "order": ""}, None)
    except TenterError:
        return {}


@require_POST
def date(request: UserRequest, pk: int) -> HttpResponse:
    """Change the day by which a photograph is deleted."""
    row = access.to_erase(request.user, access.cloth_photograph(request.user, pk))
    form = ClothDateForm(request.POST)
    if not form.is_valid():
        return _show(request, row, HTTPStatus.UNPROCESSABLE_ENTITY, date=form)
    measured_views.changed(request, row, Action.PHOTOGRAPH_DATED, deletes_on=form.cleaned_data["deletes_on"])
    return redirect("cloth-photograph", row.pk)


@require_POST
def erase(request: UserRequest, pk: int) -> HttpResponse:
    """Erase a photograph and everything that was measured in it, at once; what went into a kit stays there."""
    measured_views.erased(request, access.cloth_photograph(request.user, pk))
    return redirect("cloth-photographs")


# -- numbers -----------------------------------------------------------------------------------------------------------


@require_POST
def numbers(request: UserRequest, pk: int) -> HttpResponse:
    """Keep the numbers of the cloths as they were typed, and go on to the kit.

    Raises `Http404` for a photograph that was not read.
    """
    row, result = _read(request, pk)
    form = NumbersForm(cloth_page.read_places(result), request.POST)
    if not form.is_valid():
        return _show(request, row, HTTPStatus.UNPROCESSABLE_ENTITY, numbers=form)
    ClothPhotograph.objects.filter(pk=row.pk).update(numbers=form.numbers)
    return redirect("cloths-into-kit", row.pk)


@require_POST
def count(request: UserRequest, pk: int) -> HttpResponse:
    """Count the numbers anew, from another first one or in another order.

    Raises `Http404` for a photograph that was not read.
    """
    row, result = _read(request, pk)
    form = CountForm(request.POST, auto_id="count-%s")
    said = {"shows": row.shows, "rows": row.rows, "columns": row.columns}
    if form.is_valid():
        read = cloth_page.read_places(result) if form.cleaned_data["skip"] else None
        try:
            found = numbered_places(said | form.cleaned_data, read)
        except TenterError:
            form.add_error("first", NOTHING_TO_COUNT_ON)
        else:
            ClothPhotograph.objects.filter(pk=row.pk).update(numbers=found)
            return redirect("cloth-photograph", row.pk)
    return _show(request, row, HTTPStatus.UNPROCESSABLE_ENTITY, count=form)


def _read(request: UserRequest, pk: int) -> tuple[ClothPhotograph, ClothResult]:
    """Return a photograph with what was read in it; 404 where nothing was."""
    row = access.cloth_photograph(request.user, pk)
    try:
        result = None if row.waits else cloth_measuring.cloth_result_of(row)
    except TenterError:
        result = None
    if result is None or not cloth_page.read_places(result):
        raise Http404
    return row, result
