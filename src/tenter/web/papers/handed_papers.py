"""Which papers were handed over: noted when they are written, so that each can be printed again as it was."""

from datetime import datetime
from typing import Any, TypeVar

from django.contrib.auth.models import User
from django.db.models import Manager, Model
from django.utils.translation import gettext as _

from tenter.language import in_a_row, language
from tenter.web.models import HandedPaper, Sitting
from tenter.web.papers import client_wishes, own_words, printed_pair
from tenter.web.rules.client_language import clients_language
from tenter.web.server.in_language import own_name
from tenter.web.store import given_face

M = TypeVar("M", bound=Model)


def note_papers(row: Sitting, by: User) -> HandedPaper:
    """Note that the client's papers are written now; as long as nothing changes they are the same papers."""
    now = _state(row)
    last: HandedPaper | None = row.handed_papers.first()
    same = last is not None and now == {name: getattr(last, name) for name in now}
    if last is not None and same and not _more_since(row, last.at):
        return last
    return HandedPaper.objects.create(sitting=row, by=by, **now)


def _state(row: Sitting) -> dict[str, Any]:
    """Return what the papers are made of now."""
    return {
        "events": _last(row.events),
        "edits": _last(row.palette_edits),
        "words": own_words.words_for(row.client.owner, row.client).version,
        "language": clients_language(row.client),
    }


def _more_since(row: Sitting, at: datetime) -> bool:
    """Whether anything came since then that papers of then were without."""
    more = printed_pair.chosen_since(row, at), client_wishes.said_since(row.client, at), given_face.given_since(row, at)
    return any(more)


def _last(rows: Manager[M]) -> int:
    return rows.order_by("number").values_list("number", flat=True).last() or 0


def words_of(paper: HandedPaper) -> str:
    """Return which of the studio's own words are on a paper, and in which language, if another than the page's."""
    version = own_words.version_printed(paper.words)
    said = [_("words as of version %(number)s") % {"number": version.texts}] if version.texts else []
    said += [_("letter %(number)s") % {"number": version.letter}] if version.letter else []
    told = in_a_row(said) or _("none of your own words")
    return in_a_row([told, own_name(paper.language)]) if paper.language not in ("", language().code) else told
