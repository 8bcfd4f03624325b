"""`tenter sheet`: the client's paper as a PDF, or the studio's sheet."""

import dataclasses
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from tenter.cli.shared.card_options import ChartOption
from tenter.cli.shared.inputs import (
    ClientOption,
    FaceOption,
    KitOption,
    LedgerArgument,
    MethodOption,
    SeedOption,
    WordsOption,
    errors_said,
    read_own_words,
    replayed_ledger,
    say,
)
from tenter.cli.shared.kept_palette import ChangesOption, said_changes
from tenter.cli.shared.output_files import ReplaceOption, require_place
from tenter.cli.shared.paper_options import (
    ConsultantOption,
    DateOption,
    LanguageOption,
    MinorOption,
    NameOption,
    PaperOption,
    StudioOption,
    WordsOnlyOption,
    card_for,
    papers_in,
)
from tenter.cli.shared.photo_pair_options import (
    AgreedOption,
    BestPhotoOption,
    OtherPhotoOption,
    PairChartOption,
    said_photographs,
)
from tenter.cli.shared.wish_options import (
    HateOption,
    LoveOption,
    MustOption,
    NeverOption,
    NoteOption,
    PiecesOption,
    said_wishes,
)
from tenter.consultation.conventions.bundled import DEFAULT_METHOD
from tenter.language import SOURCE

if TYPE_CHECKING:
    from tenter import Sitting
    from tenter.consultation.personal.edits import Edit
    from tenter.consultation.wishes.wishes import Wishes
    from tenter.report.client_paper.photo_pair import PhotoPair
    from tenter.report.drawing.paper_size import PaperSize
    from tenter.report.own_words.studio_words import StudioWords
    from tenter.report.reading.content import ClientCard


def sheet(
    client: ClientOption,
    out: Annotated[Path, typer.Option("--out", help="Where to write the PDF.")],
    ledger: LedgerArgument = None,
    name: NameOption = None,
    studio: StudioOption = "",
    consultant: ConsultantOption = "",
    date: DateOption = None,
    minor: MinorOption = False,
    words_only: WordsOnlyOption = False,
    studio_copy: Annotated[
        bool, typer.Option("--studio-copy", help="Write the studio's sheet: every number, and why.")
    ] = False,
    words: WordsOption = None,
    paper: Annotated[PaperOption, typer.Option("--paper", help="The size of the paper.")] = PaperOption.A4,
    kit: KitOption = None,
    method: MethodOption = DEFAULT_METHOD,
    face: FaceOption = None,
    seed: SeedOption = 7,
    replace: ReplaceOption = False,
    love: LoveOption = None,
    hate: HateOption = None,
    never: NeverOption = None,
    must: MustOption = None,
    pieces: PiecesOption = None,
    note: NoteOption = None,
    changes: ChangesOption = None,
    language: LanguageOption = SOURCE,
    photo_best: BestPhotoOption = None,
    photo_less: OtherPhotoOption = None,
    photos_agreed: AgreedOption = False,
    photo_chart: PairChartOption = ChartOption.CLASSIC24,
) -> None:
    """Write one client's paper, "Your colours", or with --studio-copy the studio's sheet."""
    from tenter.report.drawing.paper_size import PaperSize

    with errors_said(), papers_in(language):
        require_place(out, replace)
        size = PaperSize(paper.value)
        wishes = said_wishes(love, hate, never, must, pieces, note)
        edits = said_changes(changes)
        pair, left_out = said_photographs(photo_best, photo_less, photos_agreed, photo_chart)
        sitting = replayed_ledger(ledger, client, kit, method, face, seed)
        card = card_for(name or client, studio, consultant, date, minor, words_only)
        if studio_copy:
            notes = write_for_studio(card, sitting, out, size, wishes, edits, pair)
        else:
            notes = write_for_client(card, sitting, out, size, read_own_words(words, sitting), wishes, edits, pair)
    for line in (*left_out, *notes):
        say(line)
    say(f"Wrote {out}")


def write_for_client(
    card: "ClientCard",
    sitting: "Sitting",
    out: Path,
    size: "PaperSize",
    words: "StudioWords",
    wishes: "Wishes",
    edits: "Sequence[Edit]" = (),
    photographs: "PhotoPair | None" = None,
) -> tuple[str, ...]:
    """Write the client's paper of a sitting, and return what could not be drawn.

    Raises `PhaseMissing` before there is a verdict.
    """
    from tenter.consultation.personal.edits import edited_palette
    from tenter.report.client_paper.content import client_paper
    from tenter.report.client_paper.pdf import write_client_paper

    palette = edited_palette(sitting, sitting.verdict(), edits, wishes)
    paper = dataclasses.replace(client_paper(card, sitting, palette, words), photographs=photographs)
    return write_client_paper(paper, out, size)


def write_for_studio(
    card: "ClientCard",
    sitting: "Sitting",
    out: Path,
    size: "PaperSize",
    wishes: "Wishes",
    edits: "Sequence[Edit]" = (),
    photographs: "PhotoPair | None" = None,
) -> tuple[str, ...]:
    """Write the studio's sheet of a sitting, and return what could not be drawn.

    Raises `PhaseMissing` before there is a verdict.
    """
    from tenter.consultation.personal.edits import edited_palette
    from tenter.report.reading.content import reading_sheet
    from tenter.report.studio_sheet.content import studio_sheet
    from tenter.report.studio_sheet.pdf import write_studio_sheet

    palette = edited_palette(sitting, sitting.verdict(), edits, wishes)
    sheet = studio_sheet(reading_sheet(card, sitting), sitting.kit, palette, photographs)
    return write_studio_sheet(sheet, out, size)
