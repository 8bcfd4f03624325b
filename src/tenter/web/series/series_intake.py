"""A series of photographs on its way in: which photographs and cloths it may name, and how it is kept."""

from django.db import transaction

from tenter.consultation.client.consent import Purpose
from tenter.web.models import Client, Photograph, PhotoSeries, SeriesFrame
from tenter.web.papers import photo_together
from tenter.web.pictures import intake, queue
from tenter.web.rules import access, audit, consents
from tenter.web.rules.audit import Action
from tenter.web.rules.logged_in import UserRequest
from tenter.web.series.forms import SeriesForm
from tenter.web.store import store


def series_photographs(request: UserRequest, client: Client) -> list[Photograph]:
    """Return the photographs that may be laid side by side, numbered as on their own page."""
    found = photo_together.numbered(access.photographs(request.user).filter(client=client))
    return [row for row in found if consents.narrowed(row, Purpose.COMPARE)]


def series_lacking(client: Client) -> consents.ConsentMissing | None:
    """Return which consent a series of a client lacks; None for none."""
    return consents.ended(client) or consents.lacking(client, Purpose.MEASURE, Purpose.COMPARE)


def latest_cloths(request: UserRequest) -> list[tuple[str, str]]:
    """Return number and name of the cloths of the studio's latest kit."""
    kit = access.kits(request.user).first()
    return [(drape.id, drape.name) for drape in store.kit_of(kit).drapes] if kit else []


def keep_series(request: UserRequest, client: Client, form: SeriesForm) -> PhotoSeries | None:
    """Keep a series and its new photographs, sealed, and put them in line; None where there is no key."""
    said = form.cleaned_data
    rows = list(said["kept"]) or [
        Photograph(
            client=client,
            by=request.user,
            chart=said["chart"],
            deletes_on=said["deletes_on"],
        )
        for _ in said["pictures"]
    ]
    if not intake.sealed(form, ((row.name, picture) for row, picture in zip(rows, said["pictures"], strict=False))):
        return None
    series = PhotoSeries(
        client=client,
        by=request.user,
        chart=said["chart"],
        cloth_a=said["cloth_a"],
        cloth_b=said["cloth_b"],
        pattern=said["pattern"],
    )
    _save(request, series, rows)
    queue.put_in_line(series)
    for row in rows[: len(said["pictures"])]:
        queue.put_in_line(row)
    return series


def _save(request: UserRequest, series: PhotoSeries, rows: list[Photograph]) -> None:
    with transaction.atomic():
        series.save()
        audit.note(request.user, Action.SERIES_ADDED, series)
        for place, row in enumerate(rows):
            if row._state.adding:
                intake.hold_new_to_consent(request, row)
                row.save()
                audit.note(request.user, Action.PHOTOGRAPH_ADDED, row)
            SeriesFrame.objects.create(series=series, photograph=row, place=place)
