"""The `tenter` command. Heavy modules load inside the commands, so that --help answers at once."""

import sys
from typing import Annotated

import typer

from tenter.cli import demo
from tenter.cli.papers import export, hand_over, palette, phone, sheet, swatches
from tenter.cli.photo import camera, card, cloth, face, face_install, printer, series
from tenter.cli.shared.inputs import UNREADABLE
from tenter.cli.shared.streams import open_streams
from tenter.cli.sitting import compare_sittings, sit, verdict
from tenter.cli.studio import (
    garment,
    health,
    kit,
    labels,
    light,
    light_papers,
    pictures,
    readings,
    reflect,
    stock,
    wardrobe,
)

_HELP = "Measured support for the personal colour consultant: kit, face, comparisons, verdict, papers."
app = typer.Typer(
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
)
kit.app.add_typer(readings.app, name="readings")
kit.app.add_typer(pictures.app, name="picture")
kit.app.command("health")(health.health)
kit.app.command("labels")(labels.labels)
app.add_typer(kit.app, name="kit")
face.app.command("series")(series.series)
face.app.command("compare")(series.compare)
face.app.command("install")(face_install.install)
app.add_typer(face.app, name="face")
app.add_typer(card.app, name="card")
app.add_typer(camera.app, name="camera")
app.add_typer(cloth.app, name="cloth")
app.add_typer(reflect.app, name="reflect")
app.add_typer(stock.app, name="stock")
app.add_typer(printer.app, name="printer")
app.command("sit")(sit.sit)
app.command("verdict")(verdict.verdict)
app.command("palette")(palette.palette)
app.command("swatches")(swatches.swatches)
app.command("export")(export.export)
light.app.command("report")(light_papers.report)
light.app.command("picture")(light_papers.picture)
app.add_typer(light.app, name="light")
app.add_typer(garment.app, name="garment")
app.add_typer(wardrobe.app, name="wardrobe")
app.command("sheet")(sheet.sheet)
app.command("hand-over")(hand_over.hand_over)
app.command("phone-page")(phone.phone_page)
app.command("lock-screen")(phone.lock_screen)
app.command("compare-sittings")(compare_sittings.compare_sittings)
app.command("demo")(demo.demo)


def _say_version(asked: bool) -> None:
    if asked:
        from importlib.metadata import version

        typer.echo(f"tenter {version('tenter')}")
        raise typer.Exit


@app.callback(help=_HELP)
def tenter(
    version: Annotated[
        bool, typer.Option("--version", callback=_say_version, is_eager=True, help="Say which version this is.")
    ] = False,
) -> None:
    """Do nothing by itself; the commands do."""


def run() -> None:
    """Run the command line; every way out has its exit code, and `start` has that of Ctrl-C.

    Raises `SystemExit` with the code of what cannot be read where a file or the output cannot be.
    """
    open_streams()
    try:
        try:
            app()
        finally:
            sys.stdout.flush()
    except OSError as problem:
        where = problem.filename or "the output"
        sys.stderr.write(
            f"{where} cannot be read or written ({problem.strerror}); check the place, and its free space\n"
        )
        raise SystemExit(UNREADABLE) from None
