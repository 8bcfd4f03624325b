"""What is found by a few words: clients, the ones who sat last first; cloths of the latest kit; and pages."""

from dataclasses import dataclass
from typing import Final

from django.contrib.auth.models import User
from django.db.models import Max
from django.urls import reverse

from tenter.web.rules import access
from tenter.web.sent.looking_up import plain
from tenter.web.store import store

_MOST: Final = 12  # of a kind, on the page
# Pages by what one would type for them: address, title, further words; and whether an associate may open them.
_PAGES: Final = (
    ("day", "Day", "today next walk-in", True),
    ("appointments", "Appointments", "calendar diary booking coming", True),
    ("people", "People", "clients", True),
    ("person-add", "Add a client", "new", True),
    ("sittings", "Sittings", "earlier", True),
    ("kits", "Kit", "cloths drapes methods", True),
    ("kit-add", "Add a kit", "new", True),
    ("cloth-photographs", "Photographs of cloths", "rack measure", True),
    ("lights", "Light", "lamp lux kelvin check", True),
    ("stock", "Swatch stock", "snippets drawers", True),
    ("password", "Your account", "password", True),
    ("answers", "How you answer", "habit learned", True),
    ("studio", "Studio", "settings", False),
    ("words", "Your words", "letterhead logo signature texts papers", False),
    ("photograph-key", "The key of the photographs", "passphrase sealed unlock", False),
    ("studio-due", "To be deleted", "erase keeping dates", False),
    ("restore", "Put a backup back", "restore", False),
    ("studio-log", "Log", "audit who did what", False),
    ("phones", "Learned phones", "camera", False),
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
    return [_client(*row) for row, _ in zip(hits, range(_MOST), strict=False)]


def _client(pk: int, name: str, _created: object, last: object) -> Hit:
    return Hit(name, f"last sitting {last:%-d %B %Y}" if last else "no sitting yet", reverse("person", args=[pk]))


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
        Hit(title, "page", reverse(name))
        for name, title, further, for_all in _PAGES
        if (owner or for_all) and _holds(words, f"{title} {further}")
    ]


def _holds(words: list[str], text: str) -> bool:
    whole = plain(text)
    return all(word in whole for word in words)
