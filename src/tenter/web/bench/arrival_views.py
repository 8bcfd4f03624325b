"""The arrival: the skin settles, the face is looked at, the eye is taught."""

from datetime import datetime, timedelta
from http import HTTPStatus
from typing import Any

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from tenter import Sitting as LiveSitting
from tenter.consultation.client.arrival import FaceCheck, face_check, settles_at
from tenter.consultation.laid_out.teaching import NoTeachingPair, TeachingPair, teaching_pair
from tenter.consultation.record.judgements import PairJudgement
from tenter.consultation.words.terms import cloths_worn_together
from tenter.language import in_a_row
from tenter.report.on_screen.arrival_words import (
    care_label,
    care_to_do,
    check_title,
    finding_reason,
    fitness_word,
)
from tenter.report.words.swatches import kit_swatches
from tenter.web.bench.arrival_form import USUAL, ArrivalForm
from tenter.web.bench.bench_links import bench_link
from tenter.web.models import Arrival, Sitting
from tenter.web.rules import access, audit, care, consents
from tenter.web.rules.audit import Action
from tenter.web.rules.logged_in import UserRequest
from tenter.web.store import store


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def arrival(request: UserRequest, pk: int) -> HttpResponse:
    """Show how a client arrived, or write it down."""
    if request.method == "POST":
        return _write_down(request, access.own_sitting(request.user, pk))
    return _show(request, access.sitting(request.user, pk))


def _write_down(request: UserRequest, row: Sitting) -> HttpResponse:
    """Keep what the form says; whoever goes on to the bench keeps it too, and nothing where nothing was said."""
    form = ArrivalForm(request.POST, minor=row.client.minor)
    if not form.is_valid():
        return _show(request, row, form, status=HTTPStatus.UNPROCESSABLE_ENTITY)
    next_page = "bench" if request.POST.get("then") == "bench" else "arrival"
    if next_page == "arrival" or form.says_something:
        consents.refuse_if_ended(row.client)
        _keep(request, row, form)
    return redirect(next_page, row.pk)


def _keep(request: UserRequest, row: Sitting, form: ArrivalForm) -> None:
    ago = form.ago()
    kept, made = Arrival.objects.get_or_create(sitting=row, defaults={"minutes": _usual(row)})
    kept.checks, kept.minutes, kept.troubles = form.found(), form.wait(kept.minutes), form.asked()
    kept.guardian = form.cleaned_data.get("guardian", "")
    if ago is not None:
        kept.settles_from = timezone.now() - ago
    kept.save()
    if made:
        audit.note(request.user, Action.ARRIVAL_NOTED, row)


def _show(request: UserRequest, row: Sitting, form: ArrivalForm | None = None, status: int = 200) -> HttpResponse:
    kept = Arrival.objects.filter(sitting=row).first()
    checked = face_check(kept.checks) if kept else FaceCheck(())
    minutes = kept.minutes if kept else _usual(row)
    with store.load(row) as live:
        context = {**_teaching(live), "first": _first_pair(live) if _began_early(row, kept) else None}
        context["care"] = taken = care.taken_care(row, live.kit)
    context |= {
        "sitting": row,
        "arrival": kept,
        "cares": [(care_label(one), care_to_do(one)) for one in taken.cares],
        "off_skin": in_a_row([f"{drape.id} {drape.name}" for drape in taken.off_skin]),
        "checked": checked,
        "to_do": [
            (check_title(check), fitness_word(found.fitness), finding_reason(found)) for check, found in checked.to_do
        ],
        "settles_minutes": minutes,
        "form": form or ArrivalForm(minor=row.client.minor, initial=_initial(row, kept, minutes)),
        "mine": row.analyst_id == request.user.pk,
        **_timer(kept),
    }
    return render(request, "bench/arrival.html", context, status=status)


def _initial(row: Sitting, kept: Arrival | None, minutes: int) -> dict[str, Any]:
    """Return what the form begins with: what was written down, or what troubled the client at an earlier sitting."""
    if kept is None:
        guardian = consents.guardian_today(row.client)
        return {"minutes": minutes, "sat_down": "0", "troubles": care.said_before(row), "guardian": guardian}
    asked = {"troubles": kept.troubles or [], "nothing": kept.troubles == []}
    return {"minutes": minutes, "guardian": kept.guardian, **asked, **kept.checks}


def _usual(row: Sitting) -> int:
    """Return for how long the analyst let the last client's skin settle: what they chose once stays chosen."""
    last = Arrival.objects.filter(sitting__analyst=row.analyst_id).order_by("-pk").first()
    return last.minutes if last else USUAL


def _settled(kept: Arrival) -> datetime:
    return settles_at(kept.settles_from, timedelta(minutes=kept.minutes))


def _timer(kept: Arrival | None) -> dict[str, Any]:
    if kept is None:
        return {"over": False}
    end = _settled(kept)
    left = max(0, round((end - timezone.now()).total_seconds()))
    return {"end": end, "left": left, "minutes_left": -(-left // 60), "over": left == 0}


def _teaching(live: LiveSitting) -> dict[str, object]:
    try:
        pair: TeachingPair = teaching_pair(live.bench, live.held.missing)
    except NoTeachingPair:
        return {}
    swatches = kit_swatches(live.kit)
    brighter, darker = swatches[pair.brighter], swatches[pair.darker]
    return {"pair": pair, "brighter": brighter, "darker": darker, "teach_again": bench_link((darker.id, brighter.id))}


def _began_early(row: Sitting, kept: Arrival | None) -> bool:
    """Tell whether cloths were judged before the skin had settled."""
    first = row.events.order_by("number").first()
    return bool(kept and first and first.at < _settled(kept))


def _first_pair(live: LiveSitting) -> dict[str, object] | None:
    """Return the first pair that was judged, sides exchanged; None where it has been held again since."""
    pairs = [(e.number, e.judgement) for e in live.evidence if isinstance(e.judgement, PairJudgement)]
    if not pairs or any(judgement.pair == pairs[0][1].pair for _, judgement in pairs[1:]):
        return None
    number, judgement = pairs[0]
    right, left = judgement.sides
    names = [str(cloths_worn_together([live.kit[cloth].name for cloth in side])) for side in (left, right)]
    return {"number": number, "names": names, "again": bench_link(["+".join(side) for side in (left, right)])}
