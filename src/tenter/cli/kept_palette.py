"""Which palette a command means: a palette.json, or a client's judgements to make it from."""

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from tenter.cli.inputs import replayed
from tenter.errors import TenterError

if TYPE_CHECKING:
    from tenter import Sitting
    from tenter.consultation.personal.document import KeptPalette
    from tenter.consultation.personal.edits import Edit
    from tenter.consultation.personal.wishes import Wishes

PaletteSource = Annotated[
    Path | None,
    typer.Argument(
        metavar="[PALETTE|JUDGEMENTS]",
        help="A palette.json of 'tenter palette --out', or a judgements.csv; the demo ledger when left out.",
    ),
]
PaletteClient = Annotated[
    str | None, typer.Option("--client", help="The client's name in the ledger; a palette.json knows its own.")
]


def kept_palette(
    source: Path | None, client: str | None, kit: Path | None, method: str, face: Path | None, seed: int
) -> "KeptPalette":
    """Return the palette of a palette.json, or the one made from a client's judgements.

    A client's name that comes with a palette.json replaces the file's. Raises `PhaseMissing` before there is a verdict.
    """
    from tenter.consultation.personal.document import read_palette

    if source is not None and source.suffix.lower() == ".json":
        kept = read_palette(source)
        return replace(kept, client=client or kept.client)
    if not client:
        raise TenterError(
            "whose palette is not said; name a client of the ledger with --client, or give a palette.json of "
            "'tenter palette --out'"
        )
    return made_palette(client, replayed(source, client, kit, method, face, seed))


ChangesOption = Annotated[
    Path | None,
    typer.Option("--changes", metavar="FILE", help="The consultant's changes, as the palette's page writes them."),
]


def said_changes(file: Path | None) -> "tuple[Edit, ...]":
    """Return the consultant's changes of a file, none where no file came."""
    from tenter.consultation.personal.edits_file import read_edits

    return () if file is None else read_edits(file)


def made_palette(
    client: str, sitting: "Sitting", wishes: "Wishes | None" = None, changes: "Sequence[Edit]" = ()
) -> "KeptPalette":
    """Return the palette that a client's sitting makes, with the consultant's changes.

    Raises `PhaseMissing` before there is a verdict.
    """
    from tenter.consultation.personal.document import KeptPalette
    from tenter.consultation.personal.edits import edited_palette
    from tenter.consultation.personal.making import known_of
    from tenter.consultation.personal.wishes import NO_WISHES

    verdict = sitting.verdict()
    made = edited_palette(sitting, verdict, changes, NO_WISHES if wishes is None else wishes)
    return KeptPalette(client, made, known_of(sitting, verdict))
