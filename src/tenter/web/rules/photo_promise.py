"""How long a client's photograph is kept: until a day, or so many days after the end of its sitting.

The row's `deletes_on` is always the day on which it goes at the latest, so that sweeping needs to know nothing else.
"""

from datetime import date, datetime, timedelta

from django.contrib.auth.models import User
from django.utils import timezone

from tenter.consultation.client.consent import MINORS_PHOTOGRAPH_DAYS
from tenter.web.models import LONGEST_KEPT_DAYS, Client, Photograph, Picture, Sitting, ThingPhotograph
from tenter.web.rules import audit, consents
from tenter.web.rules.audit import Action


def day_after_end(taken_on: date, ended: datetime | None, days: int) -> date:
    """Return the day so many days after a sitting's end; before that and at the longest a year after it came in."""
    latest = taken_on + timedelta(days=LONGEST_KEPT_DAYS)
    return latest if ended is None else min(latest, timezone.localdate(ended) + timedelta(days=days))


def within_consent(client: Client | None, day: date) -> date:
    """Return the day on which a photograph is deleted: the one promised, or when the consent to keep it ends."""
    latest = None if client is None else consents.last_day(client)
    return day if latest is None else min(day, latest)


def hold_to_consent(client: Client, user: User | None) -> int:
    """Let no photograph of a client outlast the consent to keep it; return how many are past their day by that.

    One that is past its day is not opened any more, whether or not it was deleted yet.
    """
    latest = consents.last_day(client)
    if latest is None:
        return 0
    for kind, through in ((Photograph, "client"), (ThingPhotograph, "sitting__client")):
        for row in kind.objects.filter(**{through: client}, deletes_on__gt=latest):
            kind.objects.filter(pk=row.pk).update(deletes_on=latest)
            audit.note(user, Action.PHOTOGRAPH_DATED, row)
    return len(past_their_day(client))


def sooner_for_a_minor(client: Client) -> list[tuple[Photograph, date]]:
    """Return the photographs of a client that would be deleted sooner if the client is a minor, each with that day.

    It is so long after a photograph was taken as a minor's is kept by default.
    """
    shots = Photograph.objects.filter(client=client)
    kept = timedelta(days=MINORS_PHOTOGRAPH_DAYS)
    days = [(shot, timezone.localdate(shot.taken_at) + kept) for shot in shots]
    return [(shot, day) for shot, day in days if day < shot.deletes_on]


def hold_to_a_minors_day(client: Client, user: User | None) -> int:
    """Give the photographs of a client who is a minor the earlier day; return how many that were.

    It is not counted from the end of a sitting any more: that could be later again.
    """
    due = sooner_for_a_minor(client)
    for shot, day in due:
        Photograph.objects.filter(pk=shot.pk).update(deletes_on=day, days_after_end=None)
        audit.note(user, Action.PHOTOGRAPH_DATED, shot)
    return len(due)


def is_past(day: date) -> bool:
    """Whether what is deleted on a day is to be deleted by today."""
    return day <= timezone.localdate()


def past_their_day(client: Client) -> list[Picture]:
    """Return the photographs of a client and of their things that are to be deleted."""
    today = timezone.localdate()
    shots = Photograph.objects.filter(client=client, deletes_on__lte=today)
    return [*shots, *ThingPhotograph.objects.filter(sitting__client=client, deletes_on__lte=today)]


def keep_to(sitting: Sitting, user: User | None) -> None:
    """Give the photographs whose time is counted from a sitting's end the day that follows from it, or take it back."""
    for row in Photograph.objects.filter(sitting=sitting, days_after_end__isnull=False):
        day = day_after_end(timezone.localdate(row.taken_at), sitting.ended, row.days_after_end or 0)  # never None here
        day = within_consent(sitting.client, day)
        if day != row.deletes_on:
            Photograph.objects.filter(pk=row.pk).update(deletes_on=day)
            audit.note(user, Action.PHOTOGRAPH_DATED, row)
