"""Everything that is handed over after a sitting, file by file: what the client takes home, and the studio's sheet."""

from collections.abc import Iterator, Sequence

from tenter.consultation.personal.document import KeptPalette
from tenter.consultation.personal.edits import Edit, edited, made_of
from tenter.consultation.sitting.sitting import Sitting
from tenter.consultation.wishes.wishes import NO_WISHES, Wishes
from tenter.report.client_paper.content import client_paper
from tenter.report.handing_over.handed_file import HandedFile
from tenter.report.handing_over.mail import mail_draft_file
from tenter.report.handing_over.papers import client_papers, studio_papers, swatches_to_print
from tenter.report.handing_over.phone import for_phone
from tenter.report.handing_over.programs import for_programs
from tenter.report.own_words.studio_words import NO_WORDS, StudioWords
from tenter.report.printing.forms import SwatchForm
from tenter.report.reading.content import ClientCard, reading_sheet
from tenter.report.studio_sheet.content import studio_sheet


def whole_set(
    client: ClientCard,
    sitting: Sitting,
    edits: Sequence[Edit] = (),
    words: StudioWords = NO_WORDS,
    wishes: Wishes = NO_WISHES,
    kept: KeptPalette | None = None,
) -> Iterator[HandedFile]:
    """Yield the files of a client; raises `PhaseMissing` before there is a verdict.

    edits: what the consultant changed of the palette. words: the studio's own, on the client's papers. wishes: what the
    client loves, hates and has to keep to. kept: the palette to hand over as it is, none made.
    """
    if kept is None:
        made, known, trial = made_of(sitting, sitting.verdict(), wishes)
        palette = edited(made, edits, known, trial, wishes)
    else:
        palette, known = kept.palette, kept.known
    papers = client_papers(client_paper(client, sitting, palette, words))
    yield papers
    for form in SwatchForm:
        yield swatches_to_print(client, palette, form)
    yield for_programs(client, palette)
    carried = tuple(for_phone(client, palette, known, wishes))
    yield from carried
    yield mail_draft_file(client, [papers, *carried], unfinished=not palette.categories)
    yield studio_papers(studio_sheet(reading_sheet(client, sitting), sitting.kit, palette))
