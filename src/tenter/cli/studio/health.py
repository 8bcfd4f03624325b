"""`tenter kit health`: one paper on the kit as it is on a day, and what to do about it first."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from tenter.cli.shared.inputs import JsonOption, KitOption, MethodOption, errors_said, load_kit, load_method, print_json
from tenter.cli.shared.output_files import ReplaceOption, require_place
from tenter.cli.shared.paper_options import LanguageOption, PaperOption, StudioOption, day_or_today, papers_in
from tenter.consultation.conventions.bundled import DEFAULT_METHOD
from tenter.language import SOURCE

if TYPE_CHECKING:
    from tenter.report.workshop.workshop_paper import WorkshopPaper

BookOfKitOption = Annotated[
    Path | None, typer.Option("--readings", help="The kit's book of readings, for what has faded.")
]


def health(
    out: Annotated[Path, typer.Option("--out", help="The PDF to write.")],
    kit: KitOption = None,
    readings: BookOfKitOption = None,
    method: MethodOption = DEFAULT_METHOD,
    day: Annotated[
        str | None, typer.Option("--day", help="The kit as it was on this day; today when left out.")
    ] = None,
    to_buy: Annotated[
        bool,
        typer.Option(
            "--to-buy/--no-to-buy",
            help="Work out what to buy as well, which takes seconds, or a minute for 1,000 cloths.",
        ),
    ] = True,
    studio: StudioOption = "",
    paper: Annotated[PaperOption, typer.Option("--paper", help="The sheet to print on.")] = PaperOption.A4,
    replace: ReplaceOption = False,
    language: LanguageOption = SOURCE,
    as_json: JsonOption = False,
) -> None:
    """Write a paper on the kit's health: what to do first, gaps, mixed pairs, faded cloths, readings that spread.

    Exit code 0: written, whatever it says. 2: a file or an option cannot be used.
    """
    with errors_said(), papers_in(language):
        from tenter.consultation.readings.book import read_book
        from tenter.report.drawing.paper_size import PaperSize
        from tenter.report.workshop.checked_kit import checked_kit
        from tenter.report.workshop.kit_health import kit_health
        from tenter.report.workshop.workshop_paper import write_workshop_paper

        require_place(out, replace)
        book = None if readings is None else read_book(readings)
        said = kit_health(checked_kit(load_kit(kit), load_method(method), day_or_today(day), book, to_buy), studio)
        notes = write_workshop_paper(said, out, PaperSize(paper.value))
    tell_written(said, out, notes, as_json)


def tell_written(said: "WorkshopPaper", out: Path, notes: tuple[str, ...], as_json: bool) -> None:
    """Say on standard output what a paper comes to, and that it was written."""
    if as_json:
        sections = [
            {
                "title": section.title,
                "rows": [{"head": row.head, "lines": list(row.lines)} for row in section.rows],
                "lines": list(section.lines),
            }
            for section in said.sections
        ]
        document = {"out": str(out), "day": said.date, "headline": said.headline, "about": said.about}
        print_json({**document, "sections": sections, "notes": list(notes)})
        return
    first = said.sections[0]
    typer.echo(f"{said.headline}.".replace("..", "."))
    for place, row in enumerate(first.rows if first.numbered else (), 1):
        typer.echo(f"{place}. {row.head}")
    for line in (*notes, f"Wrote {out}"):
        typer.echo(line, err=True)
