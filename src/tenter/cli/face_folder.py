"""`tenter face measure FOLDER`: every photograph of a folder, with a bar, results as they come, and a summary."""

import json
import sys
from collections import Counter
from collections.abc import Callable, Sequence
from pathlib import Path

import typer

from tenter.cli.batch import (
    SUMMARY,
    Found,
    Outcome,
    Result,
    kept_result,
    measure_many,
    result_file,
    summary_csv,
    write_result,
)
from tenter.errors import TenterError

_EXIT_USAGE, _EXIT_REFUSED = 2, 3
_OPTIONS = "options.txt"  # what the results of a folder were measured with


def measure_folder(
    found: Found,
    measure: Callable[[Path], Result],
    options: str,
    out: Path,
    jobs: int,
    again: bool,
    as_json: bool,
) -> None:
    """Measure photographs, write one document each into `out` and a summary, and end with an exit code.

    What an earlier run with the same options has measured is kept, unless `again`.

    0: all measured. 3: some refused, unreadable or crashed. 2: none could be read, or there was none.
    """
    if not found.photographs:
        raise TenterError(f"no photograph was found; {found.passed_over} other files were passed over")
    _require_apart(found.photographs, out)
    out.mkdir(parents=True, exist_ok=True)
    again = again or not _same_options(out, options)
    kept = [] if again else [result for path in found.photographs if (result := kept_result(path, out)) is not None]
    done = list(kept)
    known = {result.path for result in kept}
    try:
        _run([path for path in found.photographs if path not in known], measure, jobs, out, done)
    except KeyboardInterrupt:
        typer.echo(f"Stopped; {len(done)} of {len(found.photographs)} are in {out}. Run it again to go on.", err=True)
        raise typer.Exit(130) from None
    finally:
        order = {path: place for place, path in enumerate(found.photographs)}
        done.sort(key=lambda result: order[result.path])
        (out / SUMMARY).write_text(summary_csv(done), encoding="utf-8")
    if as_json:
        sys.stdout.write(json.dumps(_document(done, found.passed_over)) + "\n")
    _say(done, found.passed_over, out)
    code = _exit_code(done)
    if code:
        raise typer.Exit(code)


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


def _run(paths: Sequence[Path], measure: Callable[[Path], Result], jobs: int, out: Path, done: list[Result]) -> None:
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

    columns = (TextColumn("measuring"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
    with Progress(*columns, console=Console(stderr=True), transient=True) as progress:
        task = progress.add_task("measuring", total=len(paths))
        for result in measure_many(paths, measure, min(jobs, max(1, len(paths)))):
            write_result(result, out)
            done.append(result)
            progress.advance(task)


def _document(done: Sequence[Result], passed_over: int) -> dict[str, object]:
    photographs = [
        {"photograph": str(r.path), "outcome": str(r.outcome), "problem": r.problem or None, "result": r.document}
        for r in done
    ]
    return {"photographs": photographs, "summary": _counts(done), "passed_over": passed_over}


def _counts(done: Sequence[Result]) -> dict[str, int]:
    counts = Counter(result.outcome for result in done)
    return {str(outcome): counts[outcome] for outcome in Outcome}


def _say(done: Sequence[Result], passed_over: int, out: Path) -> None:
    """Print what became of them, the troubled ones by name, on stderr, where --json leaves room for it."""
    counts = ", ".join(f"{count} {name}" for name, count in _counts(done).items() if count)
    again = sum(result.kept for result in done)
    earlier = f" {again} of them from an earlier run." if again else ""
    others = f" {passed_over} other files were passed over." if passed_over else ""
    typer.echo(f"{len(done)} photographs: {counts}.{earlier}{others}", err=True)
    for result in done:
        if result.outcome is not Outcome.MEASURED:
            typer.echo(f"  {result.path.name}, {result.outcome}: {result.problem}", err=True)
    typer.echo(f"Results: {out}, and {SUMMARY} there", err=True)


def _exit_code(done: Sequence[Result]) -> int:
    outcomes = {result.outcome for result in done}
    if not outcomes & {Outcome.MEASURED, Outcome.REFUSED}:
        return _EXIT_USAGE
    return 0 if outcomes == {Outcome.MEASURED} else _EXIT_REFUSED
