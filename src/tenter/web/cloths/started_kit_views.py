"""A kit put together on screen: cloths typed, scanned or pasted one after another, named, and made into a kit."""

from collections.abc import Sequence
from http import HTTPStatus
from typing import Any

from django.contrib import messages
from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST

from tenter.consultation.cloths.kit import Kit
from tenter.consultation.cloths.kit_rows import kit_rows, kit_text
from tenter.consultation.cloths.typed_cloth import HEX_NOTE, PastedCloth, TypedAs, pasted_cloths
from tenter.errors import TenterError
from tenter.language import local_number
from tenter.report.words.swatches import kit_swatches
from tenter.report.words.wording import sentence
from tenter.web.cloths.kit_fields import column_called
from tenter.web.cloths.started_kit_forms import ClothForm, MakeKitForm, NamesForm, PasteForm, StartKitForm, scanned
from tenter.web.models import StartedKit
from tenter.web.rules import access
from tenter.web.rules.audit import Action, note
from tenter.web.rules.logged_in import UserRequest
from tenter.web.sent.sent_text import said_lines
from tenter.web.store import kept_readings, started_kits

_REFUSED = HTTPStatus.UNPROCESSABLE_ENTITY
_LONGEST_NAME = 60  # characters of a kit's name before its day


@require_POST
def start(request: UserRequest) -> HttpResponse:
    """Start a kit with a name alone."""
    form = StartKitForm(request.POST)
    if not form.is_valid():
        messages.error(request, _("The new kit needs a name of at most 80 characters."))
        return redirect("kit-add")
    record = started_kits.begin_kit(request.user, form.cleaned_data["name"], form.light)
    return redirect("started-kit", record.pk)


@require_POST
def change(request: UserRequest, pk: int) -> HttpResponse:
    """Start a new version of a kit, which stays as it is."""
    base = kept_readings.origin_of(access.kit(request.user, pk))
    name = f"{base.name[:_LONGEST_NAME]}, {timezone.localdate():%d.%m.%Y}"
    return redirect("started-kit", started_kits.begin_version(request.user, base, name).pk)


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def started(request: UserRequest, pk: int) -> HttpResponse:
    """Show the cloths so far, and take one in; a number alone that is there already opens that cloth."""
    record = access.started_kit(request.user, pk)
    if request.method != "POST":
        return _show(request, record)
    cloths = _cloths(record)
    said = scanned(request.POST.get("number", ""))
    alone = not any(request.POST.get(name, "").strip() for name in ("was", "name", "colour", "hue_family"))
    if alone and said in cloths:
        return redirect(reverse("started-kit", args=[pk], query={"cloth": said}))
    if alone and said:
        return _show(request, record, cloth=_cloth_form(record, cloths, initial={**_usual(request), "number": said}))
    form = _cloth_form(record, cloths, request.POST)
    if not form.is_valid():
        return _show(request, record, _REFUSED, cloth=form)
    cells = form.cleaned_data["cells"]
    started_kits.put_cloths(record, [cells])
    done = _("%(number)s changed.") if form.cleaned_data["was"] else _("%(number)s added.")
    messages.success(request, done % {"number": cells["id"]})
    stays = {"as": form.cleaned_data["given_as"], "place": cells.get("place", "")}
    return redirect(reverse("started-kit", args=[pk], query=stays))


@require_POST
@never_cache
def paste(request: UserRequest, pk: int) -> HttpResponse:
    """Take pasted rows in; those with a fault stay in the field, each with what is wrong."""
    record = access.started_kit(request.user, pk)
    form = PasteForm(request.POST)
    if not form.is_valid():
        return _show(request, record, _REFUSED, paste=form)
    said = form.cleaned_data
    light = started_kits.light_of(record)
    found = pasted_cloths(said["rows"], TypedAs(said["given_as"]), light, _cloths(record), column_called)
    good, faulty = [one for one in found if not one.faults], [one for one in found if one.faults]
    started_kits.put_cloths(record, [one.cells for one in good])
    if good or not faulty:
        messages.success(request, _added(len(good)))
    if not faulty:
        return redirect("started-kit", pk)
    return _show(request, record, _REFUSED, paste=_left_over(faulty, said["given_as"]))


@require_POST
@never_cache
def names(request: UserRequest, pk: int) -> HttpResponse:
    """Keep the names and places of all cloths."""
    record = access.started_kit(request.user, pk)
    form = NamesForm(_cloths(record), request.POST)
    if not form.is_valid():
        return _show(request, record, _REFUSED, names=form)
    started_kits.name_cloths(record, form.said)
    messages.success(request, _("Names and places saved."))
    return redirect("started-kit", pk)


@require_POST
def take_out(request: UserRequest, pk: int) -> HttpResponse:
    """Take a cloth out."""
    record = access.started_kit(request.user, pk)
    started_kits.remove_cloth(record, request.POST.get("cloth", ""))
    return redirect("started-kit", pk)


@require_POST
@never_cache
def make(request: UserRequest, pk: int) -> HttpResponse:
    """Make the kit, or say which cloths keep it from being one."""
    record = access.started_kit(request.user, pk)
    form = MakeKitForm(request.POST)
    if form.is_valid():
        try:
            with transaction.atomic():
                kit = started_kits.make_kit(record, request.user, form.cleaned_data["name"])
                note(request.user, Action.KIT_ADDED, kit)
            return redirect("kit", kit.pk)
        except TenterError as error:
            form.add_error(None, [f"{sentence(line)}." for line in said_lines(error)])
    return _show(request, record, _REFUSED, make=form)


@require_POST
def throw_away(request: UserRequest, pk: int) -> HttpResponse:
    """Throw a started kit away; the kit that it would be a version of stays."""
    access.started_kit(request.user, pk).delete()
    return redirect("kits")


def _cloths(record: StartedKit) -> dict[str, dict[str, str]]:
    return {cells["id"]: cells for cells in kit_rows(record.csv)}


def _left_over(faulty: Sequence[PastedCloth], given_as: str) -> PasteForm:
    """Return the form with the rows that were not added, each with what is wrong, counted as they are there now."""
    form = PasteForm({"paste-rows": "\n".join(one.text for one in faulty), "paste-given_as": given_as})
    for at, one in enumerate(faulty, start=1):
        said = {"row": at, "number": one.cells.get("id") or _("no number"), "faults": "; ".join(one.faults)}
        form.add_error("rows", _("Row %(row)s (%(number)s), %(faults)s.") % said)
    return form


def _added(count: int) -> str:
    if not count:
        return _("No cloth added.")
    return ngettext("%(count)s cloth added.", "%(count)s cloths added.", count) % {"count": count}


def _usual(request: UserRequest) -> dict[str, str]:
    """Return what stays the same from one cloth to the next, and the number of a cloth that is not there yet."""
    space, place = request.GET.get("as", ""), request.GET.get("place", "")
    stays = {"given_as": space if space in list(TypedAs) else str(TypedAs.LAB), "place": place}
    return stays | {"number": scanned(request.GET.get("cloth", ""))}


def _cloth_form(record: StartedKit, cloths: dict[str, dict[str, str]], *args: Any, **kwargs: Any) -> ClothForm:
    return ClothForm(cloths, started_kits.read_cloths(record), started_kits.light_of(record), *args, **kwargs)


def _show(request: UserRequest, record: StartedKit, status: int = 200, **forms: Any) -> HttpResponse:
    cloths = _cloths(record)
    opened = cloths.get(request.GET.get("cloth", ""))
    initial = opened | {"number": opened["id"], "was": opened["id"]} if opened else _usual(request)
    cloth = forms.get("cloth") or _cloth_form(record, cloths, initial=initial)
    first = "name" if cloth.initial.get("number") else "number"
    wrong = next((name for name in cloth.fields if name in cloth.errors), None)
    cloth.fields[wrong or ("colour" if opened else first)].widget.attrs["autofocus"] = True
    named, hexes = forms.get("names") or NamesForm(cloths), _hexes(cloths)
    context = {
        "record": record,
        "light": started_kits.light_of(record),
        "cloth": cloth,
        "opened": opened,
        "paste": forms.get("paste") or PasteForm(),
        "make": forms.get("make") or MakeKitForm(initial={"name": record.name}),
        "rows": [_row(at, cells, named, hexes) for at, cells in enumerate(cloths.values())],
        "by_hex": sum(HEX_NOTE in cells.get("notes", "") for cells in cloths.values()),
    }
    return render(request, "cloths/started_kit.html", context, status=status)


def _hexes(cloths: dict[str, dict[str, str]]) -> dict[str, str]:
    """Return the colour of each cloth on a screen."""
    if not cloths:
        return {}
    return {name: swatch.hex for name, swatch in kit_swatches(Kit.parse(kit_text(cloths.values()))).items()}


def _row(at: int, cells: dict[str, str], form: NamesForm, hexes: dict[str, str]) -> dict[str, Any]:
    return {
        "number": cells["id"],
        "hex": hexes[cells["id"]],
        "measured": bool(cells.get("L")),
        "by_hex": HEX_NOTE in cells.get("notes", ""),
        "lab": "  ".join(local_number(float(cells[axis]), 1) for axis in "Lab" if cells.get(axis)),
        "fields": form.of_cloth(at),
    }
