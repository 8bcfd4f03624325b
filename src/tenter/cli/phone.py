"""`tenter phone-page` and `tenter lock-screen`: what a client carries on the phone."""

import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from tenter.cli.inputs import (
    DEFAULT_METHOD,
    REFUSED,
    FaceOption,
    KitOption,
    LedgerArgument,
    MethodOption,
    SeedOption,
    errors_said,
    replayed,
    say,
)

if TYPE_CHECKING:
    from tenter.consultation.personal.document import KeptPalette

_WhoOption = Annotated[str | None, typer.Option("--client", help="The client's name in the ledger.")]
_PaletteOption = Annotated[
    Path | None, typer.Option("--palette", help="A file of 'tenter palette --out', in place of a ledger.")
]


def phone_page(
    out: Annotated[Path, typer.Option("--out", help="Where to write the page, an HTML file.")],
    ledger: LedgerArgument = None,
    client: _WhoOption = None,
    palette: _PaletteOption = None,
    name: Annotated[str | None, typer.Option("--name", help="The name to print; the client's when left out.")] = None,
    studio: Annotated[str, typer.Option("--studio", help="The studio to print.")] = "",
    consultant: Annotated[str, typer.Option("--consultant", help="The consultant to print.")] = "",
    date: Annotated[
        str | None, typer.Option("--date", help="The date to print, YYYY-MM-DD; today when left out.")
    ] = None,
    kit: KitOption = None,
    method: MethodOption = DEFAULT_METHOD,
    face: FaceOption = None,
    seed: SeedOption = 7,
) -> None:
    """Write the client's phone page: one file that works without a network and answers questions about colours."""
    from tenter.report.phone_page.content import PhoneCard
    from tenter.report.phone_page.files import phone_page_file

    with errors_said():
        kept = kept_palette(ledger, client, palette, kit, method, face, seed)
        card = PhoneCard(name or kept.client, date or datetime.date.today().isoformat(), studio, consultant)
        out.write_bytes(phone_page_file(card, kept.palette, kept.known))
    say(f"Wrote {out}")


def lock_screen(
    out: Annotated[Path, typer.Option("--out", help="Where to write the picture, a PNG file.")],
    ledger: LedgerArgument = None,
    client: _WhoOption = None,
    palette: _PaletteOption = None,
    width: Annotated[int, typer.Option("--width", help="Of the phone's screen, in pixels.")] = 1170,
    height: Annotated[int, typer.Option("--height", help="Of the phone's screen, in pixels.")] = 2532,
    kit: KitOption = None,
    method: MethodOption = DEFAULT_METHOD,
    face: FaceOption = None,
    seed: SeedOption = 7,
) -> None:
    """Write a picture for the client's lock screen: their colours, with clock and buttons left free."""
    from tenter.report.phone_page.files import lock_screen_file

    with errors_said():
        kept = kept_palette(ledger, client, palette, kit, method, face, seed)
        out.write_bytes(lock_screen_file(kept.palette, (width, height)))
    say(f"Wrote {out}")


def kept_palette(
    ledger: Path | None,
    client: str | None,
    palette: Path | None,
    kit: Path | None,
    method: str,
    face: Path | None,
    seed: int,
) -> "KeptPalette":
    """Return the palette of a file, or that of a client of a ledger; exits where the sitting has no verdict yet."""
    from tenter import PhaseMissing, TenterError
    from tenter.consultation.personal.document import KeptPalette, read_palette
    from tenter.consultation.personal.making import known_of, personal_palette

    if palette is not None and (ledger is not None or client is not None):
        raise TenterError("a palette file came with a ledger or a client; give one or the other")
    if palette is not None:
        return read_palette(palette)
    if client is None:
        raise TenterError("whose palette? give --client with the name in the ledger, or --palette with a file")
    sitting = replayed(ledger, client, kit, method, face, seed)
    try:
        verdict = sitting.verdict()
    except PhaseMissing as error:
        say(str(error))
        raise typer.Exit(REFUSED) from None
    return KeptPalette(client, personal_palette(sitting, verdict), known_of(sitting, verdict))
