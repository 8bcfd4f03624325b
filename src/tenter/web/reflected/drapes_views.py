"""Two drapes on a client's own photograph: the page that asks which, shows both, and says where they differ."""

from http import HTTPStatus
from typing import Any

from django import forms
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from tenter.consultation.reflected.effect import ThrowingSurface
from tenter.errors import TenterError
from tenter.report.pictures.reflected_photo import model_sheet
from tenter.report.words.wording import sentence
from tenter.web.models import KitRecord, Photograph
from tenter.web.photographs import measured_views
from tenter.web.reflected.drapes_page import TwoDrapes, drawn_drapes, two_drapes, why_not_shown
from tenter.web.reflected.effect_form import cloth_input, surface_in_field
from tenter.web.reflected.effect_page import effect_page_content
from tenter.web.rules import access
from tenter.web.rules.logged_in import UserRequest
from tenter.web.sent.row_numbers import row_number
from tenter.web.series.series_intake import series_lacking
from tenter.web.store import kept_rooms
from tenter.web.store.asked_surface import KnownCloths

_SIDES = ("first", "second")


class DrapesForm(forms.Form):
    """Which two drapes are shown."""

    first = forms.CharField(max_length=60, label=gettext_lazy("First drape"), widget=cloth_input())
    second = forms.CharField(
        max_length=60,
        label=gettext_lazy("Second drape"),
        help_text=gettext_lazy("Cloths of the kit by their numbers, or L*, a*, b* such as 94,0,1."),
        widget=cloth_input(),
    )

    def __init__(self, cloths: KnownCloths, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._cloths = cloths

    def clean_first(self) -> ThrowingSurface:
        """Return the first drape; raises `ValidationError` for one whose light is not known."""
        return surface_in_field(self._cloths, self.cleaned_data["first"])

    def clean_second(self) -> ThrowingSurface:
        """Return the second drape, likewise."""
        return surface_in_field(self._cloths, self.cleaned_data["second"])

    def clean(self) -> dict[str, Any]:
        """Refuse one drape twice."""
        said: dict[str, Any] = super().clean() or self.cleaned_data
        first, second = said.get("first"), said.get("second")
        if first is not None and second is not None and first.name == second.name:
            self.add_error("second", _("Name a different drape from the first."))
        return said


@require_safe
@never_cache
def drapes(request: UserRequest, pk: int) -> HttpResponse:
    """Show a photograph beside two drapes, or the form that asks for them; refuses without the client's consents."""
    row, record = _agreed_photograph(request, pk), _kit(request)
    why = why_not_shown(row)
    why = why or ("" if record else _("The studio has no kit yet. Add one first."))
    context: dict[str, Any] = {"photograph": row, "record": record, "why": why}
    if record is None or why:
        return render(request, "reflected/drapes.html", context)
    cloths = KnownCloths.of(record)
    form = DrapesForm(cloths, request.GET if _SIDES[0] in request.GET else None)
    shown = _found(request, row, form) if form.is_valid() else None
    context |= {"form": form, "cloths": cloths.names, "room": access.rooms(request.user).first()}
    context |= _told(request, shown) if shown else {}
    status = HTTPStatus.UNPROCESSABLE_ENTITY if form.errors else HTTPStatus.OK
    return render(request, "reflected/drapes.html", context, status=status)


def _agreed_photograph(request: UserRequest, pk: int) -> Photograph:
    """Return a photograph that its client lets be laid beside others; raises `ConsentMissing`."""
    row = access.photograph(request.user, pk)
    if lacking := series_lacking(row.client):
        raise lacking
    return row


def _kit(request: UserRequest) -> KitRecord | None:
    """Return the kit that is asked for, or the studio's latest; answers 404 for another's."""
    number = row_number(request.GET.get("kit", ""))
    return access.kits(request.user).first() if number is None else access.kit(request.user, number)


def _two(request: UserRequest, row: Photograph, form: DrapesForm) -> TwoDrapes:
    said, room = form.cleaned_data, access.rooms(request.user).first()
    return two_drapes(row, (said["first"], said["second"]), kept_rooms.factors_in(room) if room else None)


def _found(request: UserRequest, row: Photograph, form: DrapesForm) -> TwoDrapes | None:
    """Return what is shown, its pictures at hand; None where it cannot be, and the form says why then."""
    try:
        shown = _two(request, row, form)
        drawn_drapes(row, shown)
    except TenterError as error:
        form.add_error(None, sentence(str(error)))
        return None
    return shown


def _told(request: UserRequest, shown: TwoDrapes) -> dict[str, Any]:
    query = request.GET.copy()
    addresses = []
    for side in _SIDES:
        query["of"] = side
        addresses.append(query.urlencode())
    sheet = model_sheet(shown.each)
    return {
        "panels": [{"panel": one, "query": query} for one, query in zip(sheet.panels, addresses, strict=True)],
        "mark": sheet.mark,
        "note": sheet.note,
        **effect_page_content(shown.between),
    }


@require_safe
def picture(request: UserRequest, pk: int) -> HttpResponse:
    """Give the photograph beside one of the two drapes; raises `Http404` where its page shows none."""
    row, record = _agreed_photograph(request, pk), _kit(request)
    if _SIDES[0] not in request.GET:
        return redirect("photograph-drapes", row.pk)
    if record is None or why_not_shown(row) or request.GET.get("of") not in _SIDES:
        raise Http404
    form = DrapesForm(KnownCloths.of(record), request.GET)
    try:
        if not form.is_valid():
            raise Http404
        drawn = drawn_drapes(row, _two(request, row, form))
    except TenterError:
        raise Http404 from None  # the page beside it says why
    return measured_views.kept_by_no_cache(drawn[_SIDES.index(request.GET["of"])])
