"""What is found by a few words: clients, the ones who sat last first; cloths of the latest kit; and pages."""

from dataclasses import dataclass
from datetime import datetime
from typing import Final

from django.contrib.auth.models import User
from django.db.models import Max
from django.urls import reverse
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, pgettext_lazy

from tenter.web.rules import access
from tenter.web.sent.looking_up import plain
from tenter.web.store import store

_MOST: Final = 12  # of a kind, on the page
# Pages by what one would type for them: address, title, further words; and whether an associate may open them. The
# further words are looked through and never shown.
_PAGES: Final = (
    ("day", gettext_lazy("Day"), pgettext_lazy("search", "today next walk-in"), True),
    ("appointments", gettext_lazy("Appointments"), pgettext_lazy("search", "calendar diary booking coming"), True),
    ("people", gettext_lazy("People"), pgettext_lazy("search", "clients"), True),
    ("person-add", gettext_lazy("Add a client"), pgettext_lazy("search", "new"), True),
    ("sittings", gettext_lazy("Sittings"), pgettext_lazy("search", "earlier"), True),
    ("kits", gettext_lazy("Kit"), pgettext_lazy("search", "cloths drapes methods"), True),
    ("kit-add", gettext_lazy("Add a kit"), pgettext_lazy("search", "new"), True),
    ("cloth-photographs", gettext_lazy("Photographs of cloths"), pgettext_lazy("search", "rack measure"), True),
    ("lights", gettext_lazy("Light"), pgettext_lazy("search", "lamp lux kelvin check"), True),
    ("stock", gettext_lazy("Swatch stock"), pgettext_lazy("search", "snippets drawers"), True),
    ("password", gettext_lazy("Your account"), pgettext_lazy("search", "password"), True),
    ("answers", gettext_lazy("How you answer"), pgettext_lazy("search", "habit learned"), True),
    ("studio", gettext_lazy("Studio"), pgettext_lazy("search", "settings"), False),
    ("words", gettext_lazy("Your words"), pgettext_lazy("search", "letterhead logo signature texts papers"), False),
    (
        "photograph-key",
        gettext_lazy("The key of the photographs"),
        pgettext_lazy("search", "passphrase sealed unlock"),
        False,
    ),
    ("studio-due", gettext_lazy("To be deleted"), pgettext_lazy("search", "erase keeping dates"), False),
    ("restore", gettext_lazy("Put a backup back"), pgettext_lazy("search", "restore"), False),
    ("studio-log", gettext_lazy("Log"), pgettext_lazy("search", "audit who did what"), False),
    ("phones", gettext_lazy("Learned phones"), pgettext_lazy("search", "camera"), False),
)


@dataclass(frozen=True, slots=True)
class Hit:
    """One thing found. about: a few words beside its name."""

    title: str
    about: str
    link: str


@dataclass(frozen=True, slots=True)
class SearchHits:
    """Everything found, by kind, at most `_MOST` of each."""

    people: list[Hit]
    cloths: list[Hit]
    pages: list[Hit]

    @property
    def only(self) -> Hit | None:
        """The one thing found, where there is no other."""
        hits = [*self.people, *self.cloths, *self.pages]
        return hits[0] if len(hits) == 1 else None


def find(user: User, asked: str) -> SearchHits:
    """Return what holds each of the words asked for; without any word the clients who sat last."""
    words = plain(asked).split()
    if not words:
        return SearchHits(_people(user, words), [], [])
    return SearchHits(_people(user, words), _cloths(user, words), _pages(user, words))


def _people(user: User, words: list[str]) -> list[Hit]:
    rows = access.clients(user).annotate(last=Max("sittings__started")).values_list("pk", "name", "created", "last")
    recent = sorted(rows, key=lambda row: row[3] or row[2], reverse=True)
    hits = (row for row in recent if _holds(words, row[1]))
    return [_client(*row) for row, _count in zip(hits, range(_MOST), strict=False)]


def _client(pk: int, name: str, _created: datetime, last: datetime | None) -> Hit:
    return Hit(name, _last_sitting(last) if last else _("no sitting yet"), reverse("person", args=[pk]))


def _last_sitting(at: datetime) -> str:
    return _("last sitting %(day)s") % {"day": date_format(timezone.localtime(at), "DATE_FORMAT")}


def _cloths(user: User, words: list[str]) -> list[Hit]:
    kit = access.kits(user).first()
    if kit is None:
        return []
    page = reverse("kit-cloth", args=[kit.pk])
    drapes = [drape for drape in store.kit_of(kit).drapes if _holds(words, f"{drape.id} {drape.name} {drape.place}")]
    return [
        Hit(f"{drape.id} {drape.name}", drape.place or str(kit), f"{page}?cloth={drape.id}") for drape in drapes[:_MOST]
    ]


def _pages(user: User, words: list[str]) -> list[Hit]:
    owner = access.owns_studio(user)
    return [
        Hit(str(title), _("page"), reverse(name))
        for name, title, further, for_all in _PAGES
        if (owner or for_all) and _holds(words, f"{title} {further}")
    ]


def _holds(words: list[str], text: str) -> bool:
    whole = plain(text)
    return all(word in whole for word in words)
