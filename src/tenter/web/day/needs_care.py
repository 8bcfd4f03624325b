"""What the day asks the consultant to see to: at most a line each, and nothing where all is well."""

from dataclasses import dataclass
from datetime import timedelta

from django.contrib.auth.models import User
from django.urls import reverse
from django.utils import timezone

from tenter.numerals import how_many
from tenter.web.day import todays
from tenter.web.models import KeptLight
from tenter.web.rules import access
from tenter.web.sealing import photo_keys
from tenter.web.sealing.daily_note import read_daily
from tenter.web.store import kept_lights


@dataclass(frozen=True, slots=True)
class Concern:
    """text: what it is; link and label: where it is seen to."""

    text: str
    link: str
    label: str


def concerns(user: User) -> list[Concern]:
    """Return what needs care today."""
    return [*_light(user), *_locked(user), *_backup(user), *_photographs(user), *_left_open(user)]


def _light(user: User) -> list[Concern]:
    light: KeptLight | None = kept_lights.lights_today(access.studio_owner(user)).first()
    if light is None:
        return [Concern("The light has not been checked today.", reverse("lights"), "Check the light")]
    return []


def _locked(user: User) -> list[Concern]:
    if not user.is_superuser or not photo_keys.asks_at_start():
        return []
    text = "Photographs are locked until you give their passphrase."
    return [Concern(text, reverse("photograph-key"), "Unlock the photographs")]


def _backup(user: User) -> list[Concern]:
    """Say to whoever opened the studio here that the latest daily backup was not written."""
    failed = read_daily().failed if user.is_superuser else ""
    return [Concern(f"No backup was written. {failed}", reverse("daily-backup"), "Daily backup")] if failed else []


def _photographs(user: User) -> list[Concern]:
    tomorrow = timezone.localdate() + timedelta(days=1)
    due = access.photographs(user).filter(deletes_on__lte=tomorrow).count()
    if not due:
        return []
    text = f"{how_many(due, 'photograph').capitalize()} will be deleted by tomorrow."
    where = ("studio-due", "See which") if access.owns_studio(user) else ("people", "People")
    return [Concern(text, reverse(where[0]), where[1])]


def _left_open(user: User) -> list[Concern]:
    return [
        Concern(
            f"The sitting of {row.client} on {timezone.localdate(row.started):%-d %B} was left open.",
            reverse("sitting", args=[row.pk]),
            "Go on, or end it",
        )
        for row in todays.left_open(user)
    ]
