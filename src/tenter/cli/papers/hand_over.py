"""`tenter hand-over`: everything that one client takes home, and the studio's sheet, into a folder."""

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

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
from tenter.cli.shared.kept_palette import ChangesOption, PaletteFile, palette_of_the_same, said_changes
from tenter.cli.shared.output_files import ReplaceOption, make_folder, require_free
from tenter.cli.shared.paper_options import (
    ConsultantOption,
    DateOption,
    GuardianOption,
    LanguageOption,
    MinorOption,
    NameOption,
    StudioOption,
    WordsOnlyOption,
    card_for,
    papers_in,
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
from tenter.errors import TenterError
from tenter.language import SOURCE

if TYPE_CHECKING:
    from tenter import Sitting
    from tenter.consultation.personal.document import KeptPalette
    from tenter.consultation.personal.edits import Edit
    from tenter.consultation.wishes.wishes import Wishes
    from tenter.report.own_words.studio_words import StudioWords
    from tenter.report.reading.content import ClientCard


def hand_over(
    client: ClientOption,
    out: Annotated[Path, typer.Option("--out", help="The folder for the files; it is made where it is missing.")],
    ledger: LedgerArgument = None,
    name: NameOption = None,
    studio: StudioOption = "",
    consultant: ConsultantOption = "",
    date: DateOption = None,
    minor: MinorOption = False,
    guardian: GuardianOption = "",
    words_only: WordsOnlyOption = False,
    words: WordsOption = None,
    kit: KitOption = None,
    method: MethodOption = DEFAULT_METHOD,
    face: FaceOption = None,
    seed: SeedOption = 7,
    love: LoveOption = None,
    hate: HateOption = None,
    never: NeverOption = None,
    must: MustOption = None,
    pieces: PiecesOption = None,
    note: NoteOption = None,
    changes: ChangesOption = None,
    palette: PaletteFile = None,
    replace: ReplaceOption = False,
    language: LanguageOption = SOURCE,
) -> None:
    """Write all that one client takes home: papers, swatches, phone, colours for programs, a mail draft."""
    with errors_said(), papers_in(language):
        wishes = said_wishes(love, hate, never, must, pieces, note)
        edits = said_changes(changes)
        sitting = replayed_ledger(ledger, client, kit, method, face, seed)
        card = card_for(name or client, studio, consultant, date, minor, words_only, guardian)
        kept = _kept(palette, sitting, wishes, edits)
        written = write_whole_set(card, sitting, out, read_own_words(words, sitting), wishes, edits, replace, kept)
    for path in written:
        say(f"Wrote {path}")


def _kept(file: Path | None, sitting: "Sitting", wishes: "Wishes", edits: "Sequence[Edit]") -> "KeptPalette | None":
    """Return the palette of a file, which has wishes and changes in it already; None where no file came."""
    from tenter.consultation.wishes.wishes import NO_WISHES

    if file is None:
        return None
    if edits or wishes != NO_WISHES:
        raise TenterError(
            "a palette of --palette is handed over as it is, with the wishes and changes that it was made with; give "
            "wishes and --changes to 'tenter palette', or leave --palette out"
        )
    return palette_of_the_same(file, sitting)


def write_whole_set(
    card: "ClientCard",
    sitting: "Sitting",
    folder: Path,
    words: "StudioWords | None" = None,
    wishes: "Wishes | None" = None,
    edits: "Sequence[Edit]" = (),
    replace: bool = False,
    kept: "KeptPalette | None" = None,
) -> list[Path]:
    """Write every file of a client into a folder, which is made where it is missing, and return where they are.

    Raises `TenterError`, and writes nothing, where one of them is there already and is not to be replaced;
    `PhaseMissing` before there is a verdict.
    """
    from tenter.consultation.wishes.wishes import NO_WISHES
    from tenter.report.handing_over.whole_set import whole_set
    from tenter.report.own_words.studio_words import NO_WORDS

    make_folder(folder, "--out")
    made = list(whole_set(card, sitting, edits, words=words or NO_WORDS, wishes=wishes or NO_WISHES, kept=kept))
    written = [folder / file.name for file in made]
    require_free(written, replace)
    for file, path in zip(made, written, strict=True):
        path.write_bytes(file.content)
        for note in file.notes:
            say(f"  {file.name}: {note}")
    return written
