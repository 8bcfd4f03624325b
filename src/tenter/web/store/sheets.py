"""A sitting on paper and on the screen: whose card it carries, the verdict's page, and both papers as PDFs."""

from functools import lru_cache

from django.utils import timezone

from tenter.consultation.conventions.bundled import BUNDLED
from tenter.language import language
from tenter.report.reading.content import ClientCard
from tenter.report.reading.one_screen import OneScreen, one_screen
from tenter.web.models import MethodRecord, Sitting
from tenter.web.rules import access
from tenter.web.store import given_face, store


def client_card(row: Sitting) -> ClientCard:
    """Return for whom a sitting's sheet is, by whom, and when."""
    return ClientCard(
        name=row.client.name,
        studio=access.studio_name(row.client.owner),
        consultant=row.analyst.get_full_name() or row.analyst.username,
        date=timezone.localdate(row.started).isoformat(),
        minor=row.client.minor,
        words_only=row.client.words_only,
    )


def screen_of(row: Sitting) -> OneScreen:
    """Return the verdict's page, the sheet within it; raises `PhaseMissing` before there is a verdict."""
    last = row.events.order_by("number").values_list("number", "key").last()
    own = tuple(MethodRecord.objects.filter(owner=row.client.owner).values_list("toml", flat=True))
    face = given_face.given_face_text(row)
    return _screen(row.pk, row.token, client_card(row), last, own, face, language().code)


@lru_cache(maxsize=64)
def _screen(
    pk: int,
    token: str,
    card: ClientCard,
    last: tuple[int, str] | None,  # noqa: ARG001
    own: tuple[str, ...],
    face: str,
    tongue: str,  # noqa: ARG001
) -> OneScreen:
    """Events stand for good and are only added to: with the other methods and the face, the last of them names it.

    So does the tag of the language that is written.
    """
    row = Sitting.objects.select_related("kit").get(pk=pk, token=token)
    with store.load(row) as live:
        live.look_at(given_face.face_in(face))
        screen = one_screen(card, live, [*map(store.method_named, BUNDLED), *map(store.method_in, dict.fromkeys(own))])
        live.rest()
    return screen


def forget_sheets() -> None:
    """Let go of the pages that are kept in memory."""
    _screen.cache_clear()
