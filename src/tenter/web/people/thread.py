"""A client's time with the studio, the latest first: what comes, sittings, photographs, papers and letters."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime

from django.contrib.auth.models import User
from django.urls import reverse
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from tenter.web.models import Client, HandedPaper, Sitting
from tenter.web.rules import access


@dataclass(frozen=True, slots=True)
class Moment:
    """One line of the thread. about: where it stands; link: empty where there is nothing to open."""

    when: datetime
    title: str
    about: str
    link: str = ""


def thread(user: User, client: Client) -> list[Moment]:
    """Return what a user may see of a client's time with the studio, the latest first; the card's own day is last."""
    sittings = list(access.sittings(user).filter(client=client))
    found = [
        *_coming(client),
        *map(_sitting, sittings),
        *_photographs(user, client),
        *_papers(sittings),
        *(() if access.reads_blind(user, client) else _letters(client)),
    ]
    made = Moment(client.created, _("Card made"), "")
    return [*sorted(found, key=lambda moment: moment.when, reverse=True), made]


def _coming(client: Client) -> Iterable[Moment]:
    for row in client.appointments.filter(begins__date__gte=timezone.localdate()):
        at = date_format(timezone.localtime(row.begins), "TIME_FORMAT")
        yield Moment(row.begins, _("Expected at %(time)s") % {"time": at}, row.what_for, reverse("appointments"))


def _sitting(row: Sitting) -> Moment:
    state = _("ended") if row.ended else _("in progress")
    about = f"{row.analyst.username} · {row.kit} · {state}"
    return Moment(row.started, _("Sitting"), about, reverse("sitting", args=[row.pk]))


def _photographs(user: User, client: Client) -> Iterable[Moment]:
    days: dict[date, list[datetime]] = {}
    for at in access.photographs(user).filter(client=client).values_list("taken_at", flat=True):
        days.setdefault(timezone.localdate(at), []).append(at)
    for taken in days.values():
        title = ngettext("%(count)s photograph", "%(count)s photographs", len(taken)) % {"count": len(taken)}
        yield Moment(max(taken), title, "", reverse("photographs", args=[client.pk]))


def _papers(sittings: list[Sitting]) -> Iterable[Moment]:
    for row in HandedPaper.objects.filter(sitting__in=sittings):
        yield Moment(row.at, _("Papers written"), "", reverse("papers-again", args=[row.pk]))


def _letters(client: Client) -> Iterable[Moment]:
    for row in client.letters.filter(erased=False):
        yield Moment(row.at, _("Letter"), "", reverse("letter", args=[client.pk]))
