"""What a sitting's client takes home, as files: made from the rows each time, so that they are never behind them."""

import json
from functools import lru_cache

from tenter.consultation.face import Face
from tenter.consultation.personal.colours import PersonalPalette
from tenter.consultation.personal.making import personal_palette
from tenter.report.client_paper.content import ClientPaper, client_paper
from tenter.report.handing_over.handed_file import HandedFile, file_name
from tenter.report.handing_over.mail import mail_draft
from tenter.report.handing_over.programs import for_programs
from tenter.web import sheets, store
from tenter.web.models import Sitting

PDF = "application/pdf"


def palette_of(row: Sitting) -> PersonalPalette:
    """Return the personal palette of a sitting; raises `PhaseMissing` before there is a verdict."""
    last = row.events.order_by("number").values_list("number", "key").last()
    face = json.dumps(store.face_document(row), sort_keys=True)
    return _palette(row.pk, row.token, last, face)


@lru_cache(maxsize=64)
def _palette(pk: int, token: str, last: tuple[int, str] | None, face: str) -> PersonalPalette:  # noqa: ARG001
    """Events stand for good and are only added to, so that with the face the last of them names the palette."""
    row = Sitting.objects.select_related("kit").get(pk=pk, token=token)
    document = json.loads(face)
    with store.load(row) as live:
        live.look_at(Face.from_json(document) if document else None)
        return personal_palette(live, live.verdict())


def paper_of(row: Sitting) -> ClientPaper:
    """Return the client's paper of a sitting; raises `PhaseMissing` before there is a verdict."""
    palette, document = palette_of(row), store.face_document(row)
    with store.load(row) as live:
        live.look_at(Face.from_json(document) if document else None)
        paper = client_paper(sheets.card_of(row), live, palette)
        live.rest()
    return paper


def papers(row: Sitting) -> HandedFile:
    """Return the client's papers as one PDF."""
    return HandedFile(file_name(sheets.card_of(row), "colours", "pdf"), PDF, sheets.pdf_of(paper_of(row)))


def programs(row: Sitting) -> HandedFile:
    """Return the palette in the open formats of other programs."""
    return for_programs(sheets.card_of(row), palette_of(row))


def mail(row: Sitting) -> HandedFile:
    """Return a draft of a mail to the client with what they take home."""
    card = sheets.card_of(row)
    return HandedFile(file_name(card, "mail", "eml"), "message/rfc822", mail_draft(card, [papers(row)]))
