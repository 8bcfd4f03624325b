"""The `tenter` command. Heavy modules load inside the commands, so that --help answers at once."""

import typer

from tenter.cli import card, cloth, demo, face, kit, series, sheet, sit, verdict

app = typer.Typer(
    help="Measured support for the personal colour consultant: kit, face, comparisons, verdict, reading sheet.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
)
app.add_typer(kit.app, name="kit")
face.app.command("series")(series.series)
face.app.command("compare")(series.compare)
app.add_typer(face.app, name="face")
app.add_typer(card.app, name="card")
app.add_typer(cloth.app, name="cloth")
app.command("sit")(sit.sit)
app.command("verdict")(verdict.verdict)
app.command("sheet")(sheet.sheet)
app.command("demo")(demo.demo)


def main() -> None:
    """Run the command line."""
    app()
