"""`tenter face measure FOLDER`: every photograph of a folder, with a bar, results as they come, and a summary."""

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

import typer

from tenter.cli.shared.batch import (
    SUFFIXES,
    SUMMARY,
    Found,
    PhotoOutcome,
    PhotoResult,
    kept_result,
    measure_many,
    result_file,
    shown_name,
    summary_csv,
    write_result,
)
from tenter.cli.shared.inputs import REFUSED, UNREADABLE, print_json, say
from tenter.cli.shared.output_files import make_folder
from tenter.errors import TenterError
from tenter.numerals import how_many

_OPTIONS = "options.txt"  # what the results of a folder were measured with


@dataclass(frozen=True, slots=True)
class FolderRun:
    """How a folder is measured: where results go, in how many processes, and whether what is there is kept."""

    out: Path
    jobs: int = 1
    again: bool = False
    as_json: bool = False


def measure_folder(found: Found, measure: Callable[[Path], PhotoResult], options: str, run: FolderRun) -> None:
    """Measure photographs, write one document each and a summary into `run.out`, and end with an exit code.

    What an earlier run with the same `options` has measured is kept, unless `run.again`. Raises `TenterError` where
    there is no photograph or two have one name, and `typer.Exit` unless all were measured: 3 where some were refused,
    unreadable or crashed, 2 where none could be read.
    """
    if not found.photographs:
        raise TenterError(
            f"no photograph was found, and {how_many(found.passed_over, 'other file')} skipped; name a folder with "
            f"files that end in {', '.join(sorted(SUFFIXES))}"
        )
    _require_apart(found.photographs, run.out)
    make_folder(run.out, "--out")
    done = _kept(found.photographs, run.out) if _same_options(run.out, options) and not run.again else []
    try:
        _measure_rest(found.photographs, measure, run, done)
    except KeyboardInterrupt:
        say(f"Stopped; {len(done)} of {len(found.photographs)} are done. Run it again to go on.")
        _tell(done, found.passed_over, run.out)
        raise
    finally:
        order = {path: place for place, path in enumerate(found.photographs)}
        done.sort(key=lambda result: order[result.path])
        (run.out / SUMMARY).write_text(summary_csv(done), encoding="utf-8")
    if run.as_json:
        print_json(_document(done, found.passed_over))
    _tell(done, found.passed_over, run.out)
    code = _exit_code(done)
    if code:
        raise typer.Exit(code)


def _kept(photographs: Sequence[Path], out: Path) -> list[PhotoResult]:
    return [result for path in photographs if (result := kept_result(path, out)) is not None]


def _same_options(out: Path, options: str) -> bool:
    """Tell whether the folder's earlier run had these options, and write them down."""
    file = out / _OPTIONS
    same = file.is_file() and file.read_text(encoding="utf-8") == options
    file.write_text(options, encoding="utf-8")
    return same


def _require_apart(photographs: Sequence[Path], out: Path) -> None:
    """Two photographs of one name in two folders would write one file."""
    places = Counter(result_file(path, out) for path in photographs)
    twice = [place.name.removesuffix(".json") for place, count in places.items() if count > 1]
    if twice:
        raise TenterError(
            f"{twice[0]} is there more than once; measure one folder at a time, each with an --out of its own"
        )


def _measure_rest(
    photographs: Sequence[Path], measure: Callable[[Path], PhotoResult], run: FolderRun, done: list[PhotoResult]
) -> None:
    """Measure what is not in `done` yet, and add it there as it comes."""
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

    known = {result.path for result in done}
    paths = [path for path in photographs if path not in known]
    columns = (TextColumn("measuring"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
    console = Console(stderr=True)
    with Progress(*columns, console=console, transient=True, disable=not console.is_terminal) as progress:
        task = progress.add_task("measuring", total=len(paths))
        for result in measure_many(paths, measure, min(run.jobs, max(1, len(paths)))):
            write_result(result, run.out)
            done.append(result)
            progress.advance(task)


def _document(done: Sequence[PhotoResult], passed_over: int) -> dict[str, object]:
    photographs = [
        {
            "photograph": shown_name(r.path),
            "outcome": str(r.outcome),
            "problem": r.problem or None,
            "result": r.document,
        }
        for r in done
    ]
    return {"photographs": photographs, "summary": _counts(done), "passed_over": passed_over}


def _counts(done: Sequence[PhotoResult]) -> dict[str, int]:
    counts = Counter(result.outcome for result in done)
    return {str(outcome): counts[outcome] for outcome in PhotoOutcome}


def _tell(done: Sequence[PhotoResult], passed_over: int, out: Path) -> None:
    """Print what became of them, the troubled ones by name, on stderr, where --json leaves room for it."""
    counts = ", ".join(f"{count} {name}" for name, count in _counts(done).items() if count)
    again = sum(result.kept for result in done)
    earlier = f" {again} of them from an earlier run." if again else ""
    others = f" {how_many(passed_over, 'other file')} skipped." if passed_over else ""
    say(f"{how_many(len(done), 'photograph')}: {counts or 'nothing measured'}.{earlier}{others}")
    for result in done:
        if result.outcome is not PhotoOutcome.MEASURED:
            say(f"  {shown_name(Path(result.path.name))}, {result.outcome}: {result.problem}")
    say(f"Results: {out}, and {SUMMARY} there")


def _exit_code(done: Sequence[PhotoResult]) -> int:
    outcomes = {result.outcome for result in done}
    if not outcomes & {PhotoOutcome.MEASURED, PhotoOutcome.REFUSED}:
        return UNREADABLE
    return 0 if outcomes == {PhotoOutcome.MEASURED} else REFUSED
