"""`tenter kit picture`: what a kit covers, how a cloth has changed, two cloths side by side, as SVG or PNG."""

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from tenter import durable
from tenter.cli.shared.inputs import KitOption, MethodOption, errors_said, load_kit, load_method, say
from tenter.cli.shared.output_files import ReplaceOption, require_place
from tenter.cli.shared.paper_options import LanguageOption, papers_in
from tenter.consultation.conventions.bundled import DEFAULT_METHOD
from tenter.errors import TenterError
from tenter.language import SOURCE

app = typer.Typer(help="Pictures of the kit, as SVG or PNG.", no_args_is_help=True)
DrawingOption = Annotated[Path, typer.Option("--out", help="The SVG to write, or a PNG by its name.")]


class AxisOption(StrEnum):
    """The values of --for; those of `Axis`, repeated so that --help loads no heavy library."""

    UNDERTONE = "undertone"
    DEPTH = "depth"
    CLARITY = "clarity"


@app.command()
def coverage(
    out: DrawingOption,
    kit: KitOption = None,
    method: MethodOption = DEFAULT_METHOD,
    replace: ReplaceOption = False,
    language: LanguageOption = SOURCE,
) -> None:
    """Draw what the kit covers in lightness, chroma and hue, and its widest gaps."""
    with errors_said(), papers_in(language):
        from tenter.consultation.laid_out.bench import bench_of
        from tenter.report.workshop_pictures.coverage_picture import coverage_shown, coverage_svg

        require_place(out, replace)
        shown = coverage_shown(bench_of(load_kit(kit), load_method(method)))
        write_picture(out, coverage_svg(shown), shown.told)


@app.command()
def drift(
    cloth: Annotated[str, typer.Argument(help="The cloth, by its number.")],
    out: DrawingOption,
    readings: Annotated[Path, typer.Option("--readings", help="The kit's book of readings.")] = Path("kit.readings"),
    kit: KitOption = None,
    replace: ReplaceOption = False,
) -> None:
    """Draw how one cloth has changed since its first readings."""
    with errors_said():
        from tenter.consultation.readings.book import read_book
        from tenter.report.workshop_pictures.drift_picture import drift_shown, drift_svg

        require_place(out, replace)
        cloths, book = load_kit(kit), read_book(readings)
        name = cloths[cloth].name if cloth in cloths else ""
        shown = drift_shown(book.readings, book.washes, cloth, name)
        write_picture(out, drift_svg(shown), shown.told)


@app.command()
def pair(
    first: Annotated[str, typer.Argument(help="A cloth, by its number.")],
    second: Annotated[str, typer.Argument(help="The cloth beside it.")],
    out: DrawingOption,
    axis: Annotated[
        AxisOption | None, typer.Option("--for", help="What they are to test; what they differ in most when left out.")
    ] = None,
    kit: KitOption = None,
    method: MethodOption = DEFAULT_METHOD,
    replace: ReplaceOption = False,
    language: LanguageOption = SOURCE,
) -> None:
    """Draw two cloths large on neutral grey, with what they differ in."""
    with errors_said(), papers_in(language):
        from tenter.consultation.axes import Axis
        from tenter.consultation.laid_out.bench import bench_of
        from tenter.report.workshop_pictures.pair_sheet import pair_shown, pair_svg

        require_place(out, replace)
        bench = bench_of(load_kit(kit), load_method(method))
        shown = pair_shown(bench, first, second, None if axis is None else Axis(axis.value))
        write_picture(out, pair_svg(shown), shown.told)


def write_picture(out: Path, text: str, told: str) -> None:
    """Write a picture, as PNG where the file is called so, and say what it shows.

    Raises
    ------
    TenterError
        If it cannot be written.
    """
    from tenter.report.drawing.svg_png import svg_png

    try:
        durable.write(out, svg_png(text) if out.suffix.lower() == ".png" else text.encode())
    except OSError as problem:
        raise TenterError(f"{out} cannot be written ({problem.strerror}); choose another place with --out") from None
    typer.echo(told)
    say(f"Wrote {out}")
