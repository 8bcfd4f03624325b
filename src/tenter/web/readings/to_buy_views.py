"""What to buy for a kit, and its best few cloths: worked out in the background, shown, and taken to the shop."""

from http import HTTPStatus
from typing import Any

from django import forms
from django.http import HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.text import slugify
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_safe

from tenter.consultation.laid_out.coverage import countable
from tenter.consultation.worth.best_kit import BestKit
from tenter.consultation.worth.shopping import GapGain, KitWorth, ToBuy
from tenter.language import local_number
from tenter.report.words.swatches import kit_swatches
from tenter.report.words.wording import sentence
from tenter.report.workshop.gain_words import (
    GAINS_SAID,
    NATS_SAID,
    best_words,
    gain_numbers,
    gain_words,
    share_words,
    told_now,
)
from tenter.report.workshop.shopping_list import shopping_csv, shopping_list
from tenter.report.workshop.what_first import lab_place
from tenter.report.workshop.workshop_paper import paper_swatch, workshop_pdf
from tenter.web.models import KitRecord
from tenter.web.readings.kept_worth import ask_for_worth, bench_today, kept_worth
from tenter.web.rules import access
from tenter.web.rules.logged_in import UserRequest
from tenter.web.server.shown_paper import shown_paper
from tenter.web.store import kept_readings

_USUAL = 24  # cloths of a small case


class BestForm(forms.Form):
    """How many cloths the best kit is to have."""

    def __init__(self, most: int, *given: Any, **said: Any) -> None:
        super().__init__(*given, **said)
        most = max(2, most)
        self.usual = min(_USUAL, most)
        self.fields["best"] = forms.IntegerField(
            min_value=2,
            max_value=most,
            initial=self.usual,
            label=gettext_lazy("Cloths to take along"),
            help_text=_("Which of your cloths tell most if you take only so many: 2 to %(most)s.") % {"most": most},
        )


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def to_buy(request: UserRequest, pk: int) -> HttpResponse:
    """Show what is worth buying for a kit and its best few cloths; sent, have it worked out."""
    record = _kit(request, pk)
    form = _form(record, request.POST if request.method == "POST" else request.GET)
    if request.method == "POST" and form.is_valid():
        ask_for_worth(record, form.cleaned_data["best"])
        query = {"best": form.cleaned_data["best"]}
        return redirect(reverse("kit-to-buy", args=[record.pk], query=query))
    status = HTTPStatus.UNPROCESSABLE_ENTITY if request.method == "POST" else HTTPStatus.OK
    kept = kept_worth(record, _count(form))
    context = {
        "record": record,
        "form": form,
        "count": _count(form),
        "kept": kept,
        **(_worth_shown(kept.worth) if kept.worth else {}),
        **(_best_shown(record, kept.best) if kept.best else {}),
    }
    return render(request, "readings/to_buy.html", context, status=status)


@require_safe
@never_cache
def state(request: UserRequest, pk: int) -> HttpResponse:
    """Say whether it is still being worked out."""
    record = _kit(request, pk)
    return JsonResponse({"waits": kept_worth(record, _count(_form(record, request.GET))).waits, "progress": 50})


@require_safe
@never_cache
def shopping_paper(request: UserRequest, pk: int) -> HttpResponse:
    """Give the shopping list as a PDF, or lead to where it is worked out."""
    record = _kit(request, pk)
    worth = kept_worth(record, 0).worth
    if worth is None:
        return redirect("kit-to-buy", record.pk)
    today, studio = timezone.localdate().isoformat(), access.studio_name(record.owner)
    paper = shopping_list(worth, str(record.name), today, studio)
    return shown_paper(request, lambda: workshop_pdf(paper), f"{_name(record)}.pdf", "kit-to-buy", record.pk)


@require_safe
@never_cache
def shopping_table(request: UserRequest, pk: int) -> HttpResponse:
    """Give the shopping list as a CSV, or lead to where it is worked out."""
    record = _kit(request, pk)
    worth = kept_worth(record, 0).worth
    if worth is None:
        return redirect("kit-to-buy", record.pk)
    headers = {"Content-Disposition": f'attachment; filename="{_name(record)}.csv"'}
    return HttpResponse(shopping_csv(worth), content_type="text/csv; charset=utf-8", headers=headers)


def _name(record: KitRecord) -> str:
    return f"shopping-list-{slugify(record.name) or 'kit'}"


def _kit(request: UserRequest, pk: int) -> KitRecord:
    return kept_readings.origin_of(access.kit(request.user, pk))


def _form(record: KitRecord, said: Any) -> BestForm:
    return BestForm(int(countable(bench_today(record)).sum()), said if "best" in said else None)


def _count(form: BestForm) -> int:
    """Return how many cloths were asked for; the usual number where none was, or one that cannot be."""
    return int(form.cleaned_data["best"] if form.is_valid() else form.usual)


def _worth_shown(worth: KitWorth) -> dict[str, Any]:
    return {
        "colours": [_colour(cloth) for cloth in worth.to_buy],
        "gaps": [(sentence(one.gap.words), _more(one, worth)) for one in worth.gaps],
        "told": str(GAINS_SAID),
        "reckoned": (told_now(worth), str(NATS_SAID)),
    }


def _more(one: GapGain, worth: KitWorth) -> str:
    """Return what filling a gap would add, in words; empty where it is not sure to add anything."""
    return share_words(one.gain.nats / worth.nats) if one.gain.is_sure and worth.nats > 0 else ""


def _colour(cloth: ToBuy) -> dict[str, Any]:
    return {
        "swatch": paper_swatch(cloth.lab, cloth.words),
        "words": sentence(cloth.words),
        "place": lab_place(cloth.lab),
        "gain": gain_words(cloth),
        "nats": gain_numbers(cloth.gain),
    }


def _best_shown(record: KitRecord, best: BestKit) -> dict[str, Any]:
    swatches = kit_swatches(kept_readings.kit_today(record).kit)
    return {
        "best": [swatches[name] for name in best.cloths],
        "best_said": best_words(best),
        "best_share": f"{local_number(100 * best.share, 0)} %",
    }
