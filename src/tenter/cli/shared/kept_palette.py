"""Which palette a command means: a palette.json, or a client's judgements to make it from."""

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from tenter.cli.shared.inputs import replayed_ledger
from tenter.errors import TenterError

if TYPE_CHECKING:
    from tenter import Sitting
    from tenter.consultation.personal.document import KeptPalette
    from tenter.consultation.personal.edits import Edit
    from tenter.consultation.wishes.wishes import Wishes

PaletteSource = Annotated[
    Path | None,
    typer.Argument(
        metavar="[PALETTE|JUDGEMENTS]",
        help="A palette.json from 'tenter palette --out', or a judgements.csv; the demo ledger when left out.",
    ),
]
PaletteClientOption = Annotated[
    str | None, typer.Option("--client", help="The client's name in the ledger; a palette.json knows its own.")
]


def kept_palette(
    source: Path | None, client: str | None, kit: Path | None, method: str, face: Path | None, seed: int
) -> "KeptPalette":
    """Return the palette of a palette.json, or the one made from a client's judgements.

    A client's name that comes with a palette.json replaces the file's. Raises `TenterError` where neither file nor
    client is named, and `PhaseMissing` before there is a verdict.
    """
    from tenter.consultation.personal.document import read_palette

    if source is not None and source.suffix.lower() == ".json":
        kept = read_palette(source)
        return replace(kept, client=client or kept.client)
    if not client:
        raise TenterError(
            "whose palette is not said; name a client of the ledger with --client, or give a palette.json from "
            "'tenter palette --out'"
        )
    return made_palette(client, replayed_ledger(source, client, kit, method, face, seed))


ChangesOption = Annotated[
    Path | None,
    typer.Option("--changes", metavar="FILE", help="The consultant's changes, as the palette's page writes them."),
]


PaletteFile = Annotated[
    Path | None,
    typer.Option(
        "--palette",
        metavar="FILE",
        help="A palette.json from 'tenter palette --out', made from the same judgements. It is handed over unchanged.",
    ),
]
_SAME = 1e-5  # between two probabilities, one of them rounded in a file


def palette_of_the_same(file: Path, sitting: "Sitting") -> "KeptPalette":
    """Return the palette of a file; raises `TenterError` where it was made from other judgements than a sitting's."""
    from tenter.consultation.personal.document import read_palette
    from tenter.consultation.words.odds_words import percent

    kept, verdict = read_palette(file), sitting.verdict()
    theirs, now = kept.palette.probabilities, verdict.probabilities
    if set(theirs) != set(now) or any(abs(theirs[name] - now[name]) > _SAME for name in now):
        had = kept.palette.likeliest
        raise TenterError(
            f"{file} was made from other judgements, method or face: it has {had} at {percent(theirs[had])}, and these "
            f"judgements make it {verdict.category} at {percent(verdict.probability)}. Give those that it was made "
            "from, or make it again with 'tenter palette --out'"
        )
    return kept


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
    from tenter.consultation.wishes.wishes import NO_WISHES

    verdict = sitting.verdict()
    made = edited_palette(sitting, verdict, changes, NO_WISHES if wishes is None else wishes)
    return KeptPalette(client, made, known_of(sitting, verdict))
