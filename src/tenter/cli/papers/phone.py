"""`tenter phone-page` and `tenter lock-screen`: what a client carries on the phone."""

from pathlib import Path
from typing import Annotated

import typer

from tenter.cli.shared.inputs import FaceOption, KitOption, MethodOption, SeedOption, errors_said, say
from tenter.cli.shared.kept_palette import PaletteClientOption, PaletteSource, kept_palette
from tenter.cli.shared.output_files import ReplaceOption, require_place
from tenter.cli.shared.paper_options import (
    ConsultantOption,
    DateOption,
    LanguageOption,
    NameOption,
    StudioOption,
    card_for,
    papers_in,
)
from tenter.consultation.conventions.bundled import DEFAULT_METHOD
from tenter.language import SOURCE


def phone_page(
    out: Annotated[Path, typer.Option("--out", help="Where to write the page, an HTML file.")],
    source: PaletteSource = None,
    client: PaletteClientOption = None,
    name: NameOption = None,
    studio: StudioOption = "",
    consultant: ConsultantOption = "",
    date: DateOption = None,
    kit: KitOption = None,
    method: MethodOption = DEFAULT_METHOD,
    face: FaceOption = None,
    seed: SeedOption = 7,
    replace: ReplaceOption = False,
    language: LanguageOption = SOURCE,
) -> None:
    """Write the client's phone page: one file that works without a network and answers questions about colours."""
    from tenter.report.phone_page.files import phone_page_file

    with errors_said(), papers_in(language):
        require_place(out, replace)
        kept = kept_palette(source, client, kit, method, face, seed)
        card = card_for(name or kept.client, studio, consultant, date)
        out.write_bytes(phone_page_file(card, kept.palette, kept.known))
    say(f"Wrote {out}")


def lock_screen(
    out: Annotated[Path, typer.Option("--out", help="Where to write the picture, a PNG file.")],
    source: PaletteSource = None,
    client: PaletteClientOption = None,
    width: Annotated[int, typer.Option("--width", help="Of the phone's screen, in pixels.")] = 1170,
    height: Annotated[int, typer.Option("--height", help="Of the phone's screen, in pixels.")] = 2532,
    kit: KitOption = None,
    method: MethodOption = DEFAULT_METHOD,
    face: FaceOption = None,
    seed: SeedOption = 7,
    replace: ReplaceOption = False,
    language: LanguageOption = SOURCE,
) -> None:
    """Write a picture for the client's lock screen: their colours, with clock and buttons left free."""
    from tenter.report.phone_page.files import lock_screen_file

    with errors_said(), papers_in(language):
        require_place(out, replace)
        kept = kept_palette(source, client, kit, method, face, seed)
        out.write_bytes(lock_screen_file(kept.palette, (width, height)))
    say(f"Wrote {out}")
