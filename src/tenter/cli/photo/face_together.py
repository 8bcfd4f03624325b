"""`tenter face measure --same-face`: several photographs of one face, one result."""

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import typer

from tenter.cli.photo.face_show import show_flush, show_measurement
from tenter.cli.shared.batch import find_photographs, shown_name
from tenter.cli.shared.card_options import how_to_overrule
from tenter.cli.shared.inputs import end_unless, print_json
from tenter.errors import TenterError, UnreadableInput
from tenter.numerals import signed

if TYPE_CHECKING:
    from tenter.photo.face.result import FaceMeasurement
    from tenter.photo.together.baseline import CheeksAgainstForehead
    from tenter.photo.together.measure import FaceTogether, OneOfSeveral


def measure_same_face(
    named: Sequence[Path],
    measure: "Callable[[Path], FaceMeasurement]",
    earlier: "CheeksAgainstForehead | None",
    leave_out: Sequence[Path],
    as_json: bool,
) -> None:
    """Measure photographs of one face together, show what they say, and end with an exit code.

    leave_out: folders below which nothing is looked for. Raises `TenterError` where none of them can be read.
    """
    from tenter.photo.together.baseline import flush_since
    from tenter.photo.together.measure import measure_together

    paths = find_photographs(named, leave_out).photographs
    if not paths:
        raise TenterError("no photograph was found; name two photographs of one face, or a folder that holds them")
    found = measure_together(_each(paths, measure))
    accepted = found.measured.accepted
    flush = None if earlier is None or not accepted else flush_since(earlier, found.measured)
    if as_json:
        compared: dict[str, Any] = {} if earlier is None else {"flush": None if flush is None else flush.to_json()}
        print_json({**found.to_json(), **compared})
    else:
        _show(found)
        if flush is not None:
            show_flush(flush)
    end_unless(accepted)


def _each(paths: Sequence[Path], measure: "Callable[[Path], FaceMeasurement]") -> "list[OneOfSeveral]":
    """Measure every photograph; one that cannot be read is refused, unless none can."""
    from tenter.photo.together.measure import OneOfSeveral

    alike = Counter(path.name for path in paths)
    found, unreadable = [], []
    for path in paths:
        file, name = shown_name(path), shown_name(path if alike[path.name] > 1 else Path(path.name))
        try:
            found.append(OneOfSeveral.of(measure(path).written(), file, name))
        except UnreadableInput as problem:
            found.append(OneOfSeveral.unreadable(file, name, f"{problem.problem}. {problem.remedy}"))
            unreadable.append(f"{name}: {problem.problem}. {problem.remedy}")
    if len(unreadable) == len(paths):
        raise TenterError(f"none of the photographs can be read. {' '.join(unreadable)}")
    return found


def _show(found: "FaceTogether") -> None:
    from tenter.photo.reasons import OF_SEVERAL

    typer.echo(found.text)
    shifts = iter([] if found.agreement is None else found.agreement.shifts)
    for one, used in zip(found.photographs, found.used, strict=True):
        typer.echo(f"  {one.name}: {_used(next(shifts, None)) if used else _left_out(one)}")
    for line in how_to_overrule(reason.code for one in found.photographs for reason in one.reasons):
        typer.echo(line)
    if found.measured.accepted:
        said = tuple(reason for reason in found.measured.reasons if reason.code not in OF_SEVERAL)
        show_measurement(replace(found.measured, reasons=said))


def _used(shift: Sequence[float] | None) -> str:
    if shift is None:
        return "used"
    moved = ", ".join(f"{axis} {signed(by)}" for axis, by in zip(("L*", "a*", "b*"), shift, strict=True))
    return f"used. Its skin against that of all: {moved}"


def _left_out(one: "OneOfSeveral") -> str:
    if one.accepted:
        return "left out: it is a copy of another one"
    return "left out. " + " ".join(reason.text for reason in one.reasons if reason.refuses)
