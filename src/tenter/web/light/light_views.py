"""The light's pages: check it in the morning, see whether it passes or what to do, and how it changed."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from http import HTTPStatus
from typing import Any

from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.safestring import mark_safe
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_safe

from tenter import Kit
from tenter.arrays import FloatArray
from tenter.consultation.conventions.bundled import DEFAULT_METHOD
from tenter.consultation.readings.measured_spectra import measured_spectra
from tenter.consultation.readings.summary import brightened_cloths
from tenter.light.check import LightCheck, LightVerdict
from tenter.light.light_drift import light_drift
from tenter.light.on_kit import LightOnKit, light_on_kit
from tenter.report.on_screen.light_words import STANDARDS, STILL_TO_MEASURE, light_parts, not_drawn, value_lines
from tenter.report.words.wording import sentence
from tenter.report.workshop.light_report import ReportedLight, light_report
from tenter.report.workshop.workshop_paper import workshop_pdf
from tenter.report.workshop_pictures.light_picture import light_shown, light_svg
from tenter.web.light.light_form import LightForm, of_lamp
from tenter.web.models import KeptLight, KitRecord
from tenter.web.rules import access
from tenter.web.rules.audit import Action, note
from tenter.web.rules.logged_in import UserRequest
from tenter.web.server.shown_paper import shown_paper
from tenter.web.store import kept_lights, kept_readings, store

_HISTORY = 60  # checks: two months of mornings
_LONGEST_NUMBER = 10  # digits of a check's number that is looked up


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def lights(request: UserRequest) -> HttpResponse:
    """Take a check in, or show the form for one and those that were made."""
    again = _again(request)
    initial = of_lamp(kept_lights.light_in(again)) if again else None
    form = LightForm(request.POST or None, request.FILES or None, initial=initial)
    if request.method == "POST" and form.is_valid():
        owner = access.studio_owner(request.user)
        with transaction.atomic():
            row = kept_lights.keep_light(owner, request.user, form.light, form.power, form.cleaned_data["key"])
            note(request.user, Action.LIGHT_CHECKED, row)
        return redirect("light", row.pk)
    status = HTTPStatus.UNPROCESSABLE_ENTITY if request.method == "POST" else HTTPStatus.OK
    history = [_shown(row) for row in access.lights(request.user)[:_HISTORY]]
    own = bool(kept_lights.thresholds_of(access.studio_owner(request.user)).own)
    context = {"form": form, "history": history, "own": own, "again": again}
    return render(request, "light/lights.html", context, status=status)


def _again(request: UserRequest) -> KeptLight | None:
    """Return the check of today that is made again, whose lamp need not be typed anew; None for another one."""
    said = request.GET.get("again", "")
    today = kept_lights.lights_today(access.studio_owner(request.user))
    return today.filter(pk=said).first() if said.isdecimal() and len(said) < _LONGEST_NUMBER else None


@require_safe
@never_cache
def light(request: UserRequest, pk: int) -> HttpResponse:
    """Show a check: whether the light passes or what to do, against last time, and what it does to the kit."""
    row = access.light(request.user, pk)
    known = _known(request, row)
    parts = dict(light_parts(known.check, known.changes, known.effect))
    context = {
        **_shown(row),
        "check": known.check,
        "standards_heading": str(STANDARDS),
        "standards": parts.pop(str(STANDARDS), []),
        "parts": [(heading, [sentence(line) for line in lines]) for heading, lines in _shown_parts(known, parts)],
        "picture": mark_safe(light_svg(known.shown, headed=False)) if known.shown else "",
        "last": kept_lights.before(row),
    }
    return render(request, "light/light.html", context)


@require_safe
@never_cache
def report(request: UserRequest, pk: int) -> HttpResponse:
    """Give a check as a paper: pass or what to correct, the numbers, and what the light does to the kit."""
    row = access.light(request.user, pk)
    day = timezone.localdate(row.at).isoformat()

    def made() -> tuple[bytes, tuple[str, ...]]:
        known = _known(request, row)
        said = light_report(known, day, access.studio_name(row.owner))
        sections = [replace(one, lines=tuple(_in_pages(known.check, one.title, one.lines))) for one in said.sections]
        return workshop_pdf(replace(said, sections=tuple(sections)))

    return shown_paper(request, made, f"light-{day}.pdf", "light", row.pk)


def _known(request: UserRequest, row: KeptLight) -> ReportedLight:
    """Return a check with what is known beside it: the change since last time, the latest kit, the spectrum drawn."""
    done, last, power = kept_lights.check_with_spectrum(row), kept_lights.before(row), kept_lights.power_in(row)
    record = access.kits(request.user).first() if power is not None else None
    kit = kept_readings.kit_today(record).kit if record else None
    return ReportedLight(
        check=done,
        changes=light_drift(kept_lights.light_in(last), done.values, done.thresholds) if last else (),
        effect=_on_kit(power, record, kit) if power is not None and record and kit else None,
        kit=kit,
        shown=None if power is None else light_shown(power, done.values),
    )


def _shown_parts(known: ReportedLight, parts: Mapping[str, Sequence[str]]) -> Iterator[tuple[str, Sequence[str]]]:
    """Yield the parts of a page, without what the picture beside them shows; a part left empty is left out."""
    for heading, lines in parts.items():
        shown = _in_pages(known.check, heading, lines if known.shown is None else not_drawn(lines))
        if shown:
            yield heading, shown


def _in_pages(done: LightCheck, heading: str, lines: Sequence[str]) -> Sequence[str]:
    """Return a part's lines without the words of a command."""
    if heading != str(STILL_TO_MEASURE):
        return lines
    wanted = _("%(name)s. Wanted: %(asked)s.")
    return [wanted % {"name": one.name, "asked": one.asked} for one in done.not_measured]


def _shown(row: KeptLight) -> dict[str, Any]:
    """Return what is shown of a check wherever it is named."""
    done = kept_lights.check_in(row)
    return {
        "row": row,
        "good": done.verdict is LightVerdict.PASS,
        "wrong": done.verdict is LightVerdict.FIX,
        "headline": done.headline,
        "cheeks": cheek_words(done),
        "lines": value_lines(done.values),
    }


def cheek_words(done: LightCheck) -> str:
    """Return which cheek gets too much light and what to do; empty where both get about the same."""
    face = done.values.face
    if face is None or not any(one.of == "cheeks" for one in done.to_fix):
        return ""
    left, right = face.cheek_left or 0.0, face.cheek_right or 0.0
    low, high = sorted((left, right))
    if low <= 0:
        if left > right:
            return _("Left cheek brighter: move the lamp or turn the chair.")
        return _("Right cheek brighter: move the lamp or turn the chair.")
    told = (
        _("Left cheek %(share)s %% brighter: move the lamp or turn the chair.")
        if left > right
        else _("Right cheek %(share)s %% brighter: move the lamp or turn the chair.")
    )
    return told % {"share": f"{100 * (high / low - 1):.0f}"}


def _on_kit(power: FloatArray, record: KitRecord, kit: Kit) -> LightOnKit:
    """Return what a light of known power (81,), in any unit, does to a kit as it is today."""
    known = kept_readings.book_of(record).readings
    method = store.method_named(DEFAULT_METHOD)
    return light_on_kit(power, kit, method, measured_spectra(known, kit), brightened_cloths(known))
