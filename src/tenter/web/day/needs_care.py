"""What the day asks the consultant to see to: at most a line each, and nothing where all is well."""

from dataclasses import dataclass
from datetime import timedelta

from django.contrib.auth.models import User
from django.urls import reverse
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from tenter.light.check import LightVerdict
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
        return [Concern(_("The light has not been checked today."), reverse("lights"), _("Check the light"))]
    done = kept_lights.check_in(light)
    if done.verdict is LightVerdict.FIX:
        return [Concern(done.headline, reverse("light", args=[light.pk]), _("See what to correct"))]
    return []


def _locked(user: User) -> list[Concern]:
    if not user.is_superuser or not photo_keys.asks_at_start():
        return []
    text = _("Photographs are locked until you give their passphrase.")
    return [Concern(text, reverse("photograph-key"), _("Unlock the photographs"))]


def _backup(user: User) -> list[Concern]:
    """Say to whoever opened the studio here that the latest daily backup was not written."""
    failed = read_daily().failed if user.is_superuser else ""
    if not failed:
        return []
    text = _("No backup was written. %(why)s") % {"why": failed}
    return [Concern(text, reverse("daily-backup"), _("Daily backup"))]


def _photographs(user: User) -> list[Concern]:
    tomorrow = timezone.localdate() + timedelta(days=1)
    due = access.photographs(user).filter(deletes_on__lte=tomorrow).count()
    if not due:
        return []
    text = ngettext(
        "%(count)s photograph will be deleted by tomorrow.", "%(count)s photographs will be deleted by tomorrow.", due
    ) % {"count": due}
    where = ("studio-due", _("See which")) if access.owns_studio(user) else ("people", _("People"))
    return [Concern(text, reverse(where[0]), where[1])]


def _left_open(user: User) -> list[Concern]:
    return [
        Concern(
            _("The sitting of %(client)s on %(day)s was left open.")
            % {"client": row.client, "day": date_format(timezone.localdate(row.started), "MONTH_DAY_FORMAT")},
            reverse("sitting", args=[row.pk]),
            _("Go on, or end it"),
        )
        for row in todays.left_open(user)
    ]
