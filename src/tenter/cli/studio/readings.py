"""`tenter kit readings`: readings of cloths kept in a book, and how the cloths have changed since the first of them."""

from collections.abc import Sequence
from datetime import datetime
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from tenter import durable
from tenter.cli.shared.inputs import (
    JsonOption,
    KitOption,
    MethodOption,
    errors_said,
    load_kit,
    load_method,
    print_json,
    say,
)
from tenter.cli.shared.output_files import ReplaceOption, require_place
from tenter.cli.studio.readings_json import drift_document, reading_json, summary_document, wash_json
from tenter.consultation.conventions.bundled import DEFAULT_METHOD
from tenter.errors import TenterError, UnknownName
from tenter.numerals import listed

if TYPE_CHECKING:
    from tenter.colorimetry.measurement import Conditions
    from tenter.consultation.readings.book import ReadingBook
    from tenter.consultation.readings.cloth_reading import ClothReading

_HELP = "Readings of cloths over time: spread, fading, the kit as it was on a day."
app = typer.Typer(help=_HELP, no_args_is_help=True)


class UltravioletOption(StrEnum):
    """The values of --uv; `Ultraviolet` of the readings repeated so that --help loads no heavy library."""

    WITH = "with"
    WITHOUT = "without"
    UNKNOWN = "unknown"


BookArgument = Annotated[Path, typer.Argument(help="The book of readings.")]
BookOption = Annotated[Path, typer.Option("--book", help="The book of readings; it is begun where there is none.")]
DayOption = Annotated[str, typer.Option("--day", help="The day, as 2026-11-29; today when left out.")]
LightOption = Annotated[str, typer.Option("--illuminant", help="Show colours under this illuminant.")]
ObserverOption = Annotated[str, typer.Option("--observer", help="Show colours for this observer, 2 or 10.")]
ClothOption = Annotated[str, typer.Option("--cloth", help="Only this cloth.")]
DEFAULT_BOOK = Path("kit.readings")
_MOST_NAMED = 6  # readings in one remark


@app.callback(help=_HELP)
def readings() -> None:
    """Readings of cloths over time."""


@app.command()
def add(
    new: Annotated[
        Path, typer.Argument(help="CSV, CGATS.17 (.ti3, .sp), CxF3, or the JSON of 'tenter cloth measure'.")
    ],
    book: BookOption = DEFAULT_BOOK,
    cloth: Annotated[str, typer.Option(help="The cloth, for a file that names none.")] = "",
    day: DayOption = "",
    time: Annotated[str, typer.Option(help="The time, as 14:30.")] = "",
    instrument: Annotated[str, typer.Option(help="What it was read with.")] = "",
    backing: Annotated[str, typer.Option(help="What lay under the cloth.")] = "",
    folds: Annotated[int | None, typer.Option(help="Layers of cloth under the instrument.")] = None,
    direction: Annotated[str, typer.Option(help="Of the pile or weave, as 'along'.")] = "",
    place: Annotated[str, typer.Option(help="On the cloth, as 'left edge'.")] = "",
    uv: Annotated[
        UltravioletOption, typer.Option(help="Whether the instrument's lamp had ultraviolet in it.")
    ] = UltravioletOption.UNKNOWN,
    note: Annotated[str, typer.Option(help="A word to keep with the readings.")] = "",
    illuminant: Annotated[str, typer.Option(help="Of Lab, LCh and XYZ in a file that does not say.")] = "",
    observer: Annotated[str, typer.Option(help="Of Lab, LCh and XYZ in a file that does not say: 2 or 10.")] = "",
    as_json: JsonOption = False,
) -> None:
    """Add readings to a book. What the file says counts before the options.

    Exit code 0: added, or there already. 2: a row cannot be read, and then none of the file is added.
    """
    with errors_said():
        from tenter.consultation.readings.book import add_readings
        from tenter.consultation.readings.cloth_reading import ReadingCircumstances, ultraviolet_from
        from tenter.consultation.readings.reading_files import read_readings
        from tenter.consultation.readings.reading_rows import ReadingDefaults
        from tenter.consultation.readings.summary import cloth_summaries
        from tenter.report.on_screen.reading_words import added_lines, summary_line

        how = ReadingCircumstances(
            day=day or _today(), time=time, instrument=instrument, backing=backing, folds=folds, direction=direction,
            place=place, uv=ultraviolet_from(uv.value), note=note,
        )  # fmt: skip
        found = read_readings(new, ReadingDefaults(how, _conditions(illuminant, observer), cloth))
        done = add_readings(book, found.readings, "" if day else how.day)
        touched = {(one.cloth, one.day) for one in found.readings}
        of_days = [one for one in done.book.readings if (one.cloth, one.day) in touched]
        summaries = cloth_summaries(of_days)
    remarks = (*found.remarks, *_days_to_come(done.added))
    for remark in remarks:
        say(remark)
    if as_json:
        print_json(
            {
                "book": str(book),
                "readings": len(done.book.readings),
                "added": [reading_json(one) for one in done.added],
                "already": [reading_json(one) for one in done.already],
                "remarks": list(remarks),
                "cloths": [summary_document(one) for one in summaries],
            }
        )
        return
    for one in summaries:
        for line in (summary_line(one), *(f"  ! {warning}" for warning in one.warnings)):
            typer.echo(line)
    for line in added_lines(done, str(book)):
        typer.echo(line)


@app.command()
def show(
    book: BookArgument = DEFAULT_BOOK,
    cloth: ClothOption = "",
    every: Annotated[bool, typer.Option("--every", help="List every reading too.")] = False,
    illuminant: LightOption = "D65",
    observer: ObserverOption = "10",
    as_json: JsonOption = False,
) -> None:
    """Show the colour of each cloth on each day, how far its readings spread, and the wash log."""
    with errors_said():
        from tenter.consultation.readings.summary import cloth_summaries
        from tenter.report.on_screen.reading_words import book_lines

        kept = _kept(book, cloth)
        summaries = cloth_summaries(kept.readings, _shown_under(illuminant, observer))
    if as_json:
        print_json(
            {
                "book": str(book),
                "illuminant": illuminant,
                "observer": observer,
                "cloths": [summary_document(one) for one in summaries],
                "readings": [reading_json(one) for one in kept.readings],
                "washes": [wash_json(one) for one in kept.washes],
            }
        )
        return
    for line in book_lines(kept, summaries, every) or ["No readings yet. Add some: tenter kit readings add"]:
        typer.echo(line)


@app.command()
def drift(
    book: BookArgument = DEFAULT_BOOK,
    kit: KitOption = None,
    method: MethodOption = DEFAULT_METHOD,
    judgements: Annotated[
        Path | None, typer.Option("--judgements", help="A judgements.csv, for the sittings that used a cloth since.")
    ] = None,
    since: Annotated[str, typer.Option("--since", help="Count readings from this day on, as 2026-11-29.")] = "",
    as_json: JsonOption = False,
) -> None:
    """Say how each cloth has changed since its first readings, which pairs no longer match, and which sittings used it.

    Exit code 0, also when a cloth has drifted. 2: the book, the kit or the judgements cannot be read.
    """
    with errors_said():
        from tenter.consultation.fading.cloth_uses import uses_in_ledger
        from tenter.consultation.fading.kit_drift import kit_drift
        from tenter.consultation.record.ledger import read_ledger
        from tenter.report.on_screen.drift_words import drift_lines

        cloths = load_kit(kit)
        uses = uses_in_ledger(read_ledger(judgements, cloths)) if judgements else ()
        found = kit_drift(_kept(book, ""), cloths, load_method(method), uses, since)
    if as_json:
        print_json({"book": str(book), **drift_document(found)})
        return
    for line in drift_lines(found, cloths, asked_for_sittings=judgements is not None):
        typer.echo(line)


@app.command()
def wash(
    cloths: Annotated[list[str], typer.Argument(help="The cloths that were washed or cleaned.")],
    kind: Annotated[str, typer.Option(help="How, as 'machine, 30 °C' or 'dry cleaned'.")],
    book: BookOption = DEFAULT_BOOK,
    day: DayOption = "",
    note: Annotated[str, typer.Option(help="A word to keep with it.")] = "",
    as_json: JsonOption = False,
) -> None:
    """Note in the book that cloths were washed or cleaned; the same wash twice is not doubled."""
    with errors_said():
        from tenter.consultation.readings.book import add_washes
        from tenter.consultation.readings.wash_log import Wash
        from tenter.report.on_screen.reading_words import wash_line

        washes = [Wash(name, day or _today(), kind, note) for name in cloths]
        kept = add_washes(book, washes)
    read = {one.cloth for one in kept.readings}
    if unread := list(dict.fromkeys(one.cloth for one in washes if one.cloth not in read)):
        say(f"{book} has no reading of {listed(unread)}. If a number is wrong, note the wash again with the right one.")
    if as_json:
        print_json({"book": str(book), "washes": [wash_json(one) for one in kept.washes]})
        return
    for one in dict.fromkeys(washes):
        typer.echo(wash_line(one))


@app.command()
def kit(
    out: Annotated[Path, typer.Option("--out", help="The kit file to write.")],
    on: Annotated[str, typer.Option("--on", help="The day, as 2026-11-29.")],
    book: BookArgument = DEFAULT_BOOK,
    kit: KitOption = None,
    replace: ReplaceOption = False,
    as_json: JsonOption = False,
) -> None:
    """Write the kit as it was on a day, so that a sitting of that day is read with the colours of then."""
    with errors_said():
        from tenter import Kit
        from tenter.consultation.readings.kit_on_day import kit_file_on_day, kit_on_day

        require_place(out, replace)
        text = _kit_text(kit)
        found = kit_on_day(Kit.parse(text, str(kit or "demo kit")), _kept(book, "").readings, on)
        try:
            durable.write(out, kit_file_on_day(text, found).encode())
        except OSError as problem:
            raise TenterError(
                f"{out} cannot be written ({problem.strerror}); choose another place with --out"
            ) from None
    left = [name for name in found.kit.ids if name not in found.taken]
    if as_json:
        from_readings = {name: one.day for name, one in found.taken.items()}
        print_json(
            {"out": str(out), "day": found.day, "from_readings": from_readings, "predicted": list(found.predicted)}
        )
        return
    typer.echo(f"{out}: {len(found.taken)} of {len(found.kit)} cloths have the colour of readings up to {found.day}.")
    if left:
        typer.echo(
            f"Without a reading by then, as in the kit file: {', '.join(left[:8])}{' …' if len(left) > 8 else ''}"
        )
    if found.predicted:
        typer.echo(f"Predicted from another light, not measured: {', '.join(found.predicted)}")


def _kit_text(path: Path | None) -> str:
    """Return the text of a kit file, or of the demo kit's."""
    from importlib.resources import files

    from tenter.consultation.cloths.tables import read_text

    return (files("tenter.demo_studio") / "drapes.csv").read_text(encoding="utf-8") if path is None else read_text(path)


def _kept(book: Path, cloth: str) -> "ReadingBook":
    """Return a book, or what it holds of one cloth; raises `UnknownName` where it holds nothing of it."""
    from tenter.consultation.readings.book import ReadingBook, read_book

    kept = read_book(book)
    if not cloth:
        return kept
    if not kept.of_cloth(cloth):
        raise UnknownName("cloth in this book", cloth, dict.fromkeys(one.cloth for one in kept.readings))
    return ReadingBook(kept.of_cloth(cloth), tuple(one for one in kept.washes if one.cloth == cloth))


def _conditions(illuminant: str, observer: str) -> "Conditions | None":
    """Return what a file's colours are for, or None where nobody says; raises `TenterError` for the half of it."""
    if bool(illuminant) is not bool(observer):
        raise TenterError("--illuminant and --observer belong together; give both, as D65 and 10")
    return _shown_under(illuminant, observer) if illuminant else None


def _shown_under(illuminant: str, observer: str) -> "Conditions":
    from tenter.colorimetry.illuminants import observer_from
    from tenter.colorimetry.measurement import Conditions

    return Conditions(illuminant, observer_from(observer))


def _days_to_come(readings: "Sequence[ClothReading]") -> list[str]:
    """Return a remark where readings are of a day after today: most likely a slip of the pen."""
    later = list(dict.fromkeys(f"{one.cloth} ({one.day})" for one in readings if one.day > _today()))
    more = [f"{len(later) - _MOST_NAMED} more"] if len(later) > _MOST_NAMED else []
    return [f"A day that has not come yet: {listed([*later[:_MOST_NAMED], *more])}. Check it."] if later else []


def _today() -> str:
    return datetime.now().astimezone().date().isoformat()
