"""What a sitting's client takes home, as files: made from the rows each time, so that they are never behind them."""

import json
from collections.abc import Callable
from dataclasses import replace
from functools import lru_cache, wraps
from typing import Concatenate, ParamSpec, TypeVar

from tenter.consultation.colours.colours import PersonalPalette
from tenter.consultation.personal.edits import edited, made_of
from tenter.consultation.personal.edits_file import edits_document
from tenter.consultation.personal.suitability import Known
from tenter.consultation.personal.tried import Tried
from tenter.consultation.wishes.wishes import Wishes
from tenter.report.client_paper.content import ClientPaper, client_paper
from tenter.report.handing_over.handed_file import HandedFile, file_name
from tenter.report.handing_over.just_drawn import forget_just_drawn
from tenter.report.handing_over.mail import mail_draft_file
from tenter.report.handing_over.papers import client_papers, swatches_to_print
from tenter.report.handing_over.phone import drawn_phone_page, for_phone, lock_screen
from tenter.report.handing_over.programs import for_programs
from tenter.report.own_words.studio_words import StudioWords
from tenter.report.printing.forms import SwatchForm
from tenter.report.studio_sheet.content import StudioSheet
from tenter.report.studio_sheet.content import studio_sheet as studio_sheet_content
from tenter.web.models import Client, HandedPaper, Sitting
from tenter.web.papers import own_words, printed_pair
from tenter.web.papers.client_wishes import wishes_for
from tenter.web.papers.palette_edits import edits_in, edits_of
from tenter.web.rules import consents
from tenter.web.rules.client_language import clients_language, in_clients_language, other_than_studios
from tenter.web.server.in_language import in_language
from tenter.web.store import given_face, sheets, store

P = ParamSpec("P")
T = TypeVar("T")


def _in_their_language(make: Callable[Concatenate[Sitting, P], T]) -> Callable[Concatenate[Sitting, P], T]:
    """Make what the client takes home in the language in which they read, whatever the page around it is in."""

    @wraps(make)
    def made(row: Sitting, /, *args: P.args, **kwargs: P.kwargs) -> T:
        with in_clients_language(row.client):
            return make(row, *args, **kwargs)

    return made


def palette_of_sitting(row: Sitting) -> PersonalPalette:
    """Return a sitting's palette with the consultant's changes; raises `PhaseMissing` before there is a verdict."""
    return palette_and_known(row)[0]


def palette_and_known(row: Sitting) -> tuple[PersonalPalette, Known]:
    """Return the same, with what is known of the client, by which any other colour can be judged."""
    last = row.events.order_by("number").values_list("number", "key").last()
    face = given_face.given_face_text(row)
    wishes = wishes_for(row.client)
    made, known, trial = _made(row.pk, row.token, last, face, wishes)
    return edited(made, edits_of(row), known, trial, wishes), known


@lru_cache(maxsize=64)
def _made(
    pk: int,
    token: str,
    last: tuple[int, str] | None,  # noqa: ARG001
    face: str,
    wishes: Wishes,
) -> tuple[PersonalPalette, Known, Tried]:
    """Events are only added to: the last of them, the face and the wishes name the palette before any change."""
    row = Sitting.objects.select_related("kit").get(pk=pk, token=token)
    with store.load(row) as live:
        live.look_at(given_face.face_in(face))
        return made_of(live, live.verdict(), wishes)


def forget_papers() -> None:
    """Let go of every palette, page and paper that is kept in memory, once something that they say was erased."""
    _made.cache_clear()
    sheets.forget_sheets()
    forget_just_drawn()


def paper_as_of(handed: HandedPaper) -> ClientPaper:
    """Return the client's paper of a sitting as it was written once, by the answers, changes, words and wishes of then.

    It is in the language of then, as far as that was noted. Words and wishes that were erased since are left out, and
    so are a face and photographs that were given or chosen later or may not be printed any more. Raises `PhaseMissing`
    where those answers come to no verdict.
    """
    row, tongue = handed.sitting, _tongue_of(handed)
    wishes = wishes_for(row.client, by=handed.at)
    events = row.events.filter(number__lte=handed.events).order_by("number").values_list("payload", flat=True)
    then = store.replayed(row, events)
    then.look_at(given_face.given_face_of(row, by=handed.at))
    made, known, trial = made_of(then, then.verdict(), wishes)
    palette = edited(made, edits_in(row.palette_edits.filter(number__lte=handed.edits)), known, trial, wishes)
    version, reads = own_words.version_printed(handed.words), other_than_studios(row.client, tongue)
    with in_language(tongue):
        words = own_words.words_for(row.client.owner, row.client, version=version, reads=reads)
        return client_paper(sheets.client_card(row), then, palette, words, printed_pair.printed_pair(row, by=handed.at))


def _tongue_of(handed: HandedPaper) -> str:
    return handed.language or clients_language(handed.sitting.client)


def papers_as_of(handed: HandedPaper) -> HandedFile:
    """Return the client's papers as they were written once, as one PDF."""
    paper = paper_as_of(handed)
    with in_language(_tongue_of(handed)):
        return client_papers(paper)


def words_of_studio(client: Client) -> StudioWords:
    """Return what a studio writes itself on a client's papers, where it has written in the language they read."""
    reads = other_than_studios(client, clients_language(client))
    return own_words.words_for(client.owner, client, reads=reads)


@_in_their_language
def paper_of(row: Sitting) -> ClientPaper:
    """Return the client's paper of a sitting; raises `PhaseMissing` before there is a verdict."""
    palette, face, photographs = palette_of_sitting(row), given_face.given_face_of(row), printed_pair.printed_pair(row)
    with store.load(row) as live:
        live.look_at(face)
        words = words_of_studio(row.client)
        paper = client_paper(sheets.client_card(row), live, palette, words, photographs)
        live.rest()
    return paper


@_in_their_language
def papers(row: Sitting) -> HandedFile:
    """Return the client's papers as one PDF."""
    return client_papers(paper_of(row))


def studio_sheet_of(row: Sitting) -> StudioSheet:
    """Return the studio's sheet of a sitting; raises `PhaseMissing` before there is a verdict."""
    reading, palette, photographs = sheets.screen_of(row).sheet, palette_of_sitting(row), printed_pair.printed_pair(row)
    with store.load(row) as live:
        return studio_sheet_content(reading, live.kit, palette, photographs)


@_in_their_language
def swatches(row: Sitting, form: SwatchForm) -> HandedFile:
    """Return the sheets of swatches to print and cut, in a form."""
    return swatches_to_print(sheets.client_card(row), palette_of_sitting(row), form)


@_in_their_language
def programs(row: Sitting) -> HandedFile:
    """Return the palette in the open formats of other programs."""
    return for_programs(sheets.client_card(row), palette_of_sitting(row))


@_in_their_language
def mail(row: Sitting) -> HandedFile:
    """Return a draft of a mail to the client, or to a minor's guardian, with what they take home."""
    guardian = consents.guardian_of(row.client) if row.client.minor else ""
    card, (palette, known) = sheets.client_card(row), palette_and_known(row)
    attached = [papers(row), *for_phone(card, palette, known, wishes_for(row.client))]
    return mail_draft_file(replace(card, guardian=guardian), attached, unfinished=not palette.categories)


def changes_file(row: Sitting) -> HandedFile:
    """Return the consultant's changes of the palette, for the command line."""
    document = json.dumps(edits_document(edits_of(row)), ensure_ascii=False, indent=1) + "\n"
    named = file_name(sheets.client_card(row), "changes", "json")
    return HandedFile(named, "application/json", document.encode("utf-8", "replace"))


@_in_their_language
def phone_page_of(row: Sitting) -> HandedFile:
    """Return the page for the client's phone."""
    return drawn_phone_page(sheets.client_card(row), *palette_and_known(row), wishes_for(row.client))


@_in_their_language
def lock_screen_of(row: Sitting) -> HandedFile:
    """Return the picture for the lock screen of the client's phone."""
    return lock_screen(sheets.client_card(row), palette_of_sitting(row))
