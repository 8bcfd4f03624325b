"""What `tenter face measure` prints for a person to read."""

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

import typer

from tenter.cli.shared.card_options import how_to_overrule
from tenter.numerals import number, signed, whole_percent

if TYPE_CHECKING:
    from rich.table import Table

    from tenter.arrays import FloatArray
    from tenter.photo.face.result import FaceMeasurement
    from tenter.photo.together.baseline import Flush


def show_flush(flush: "Flush") -> None:
    """Print how the cheeks changed against the forehead since the baseline, with 90 % intervals."""
    (low, high), (darkest, lightest) = flush.redness_90, flush.lightness_90
    typer.echo(
        f"Cheeks against forehead since the baseline: redness {signed(flush.redness)} ({signed(low)} to "
        f"{signed(high)}), {flush.redder}. Lightness {signed(flush.lightness)} ({signed(darkest)} to "
        f"{signed(lightest)}), {flush.lighter}"
    )


def show_measurement(measured: "FaceMeasurement") -> None:
    """Print a measurement: the reasons of the gate, the colours or their differences, and what follows from them."""
    from rich.console import Console

    console = Console()
    if not measured.accepted:
        console.print("This photograph is refused. The reasons, and what can be said all the same:")
    for reason in measured.reasons:
        console.print(f"• {reason.text}")
    for line in how_to_overrule(reason.code for reason in measured.reasons):
        console.print(f"--picture FILE.png shows where. {line}")
    if measured.basis != "relative":
        console.print(_colour_table(measured))
    if measured.relative:
        console.print(_difference_table(measured))
    for line in (*_typology_lines(measured), *_reading_lines(measured)):
        console.print(line)


def _colour_table(measured: "FaceMeasurement") -> "Table":
    from rich.table import Table

    table = Table("region", "L*", "a*", "b*", "± L*, a*, b*", title=f"Colours under {measured.conditions}")
    for region, colour in measured.regions.items():
        if colour.lab is None or colour.half_width_90 is None:
            table.add_row(str(region), "", "", "", colour.reason)
        else:
            widths = ", ".join(f"{half:.1f}" for half in colour.half_width_90)
            table.add_row(str(region), *map(number, colour.lab), widths)
    return table


def _difference_table(measured: "FaceMeasurement") -> "Table":
    from rich.table import Table

    table = Table("from", "to", "Δ L*, a*, b*", "±", title="One region against another")
    for difference in measured.relative:
        delta, half = difference.delta_lab, difference.half_width_90
        table.add_row(
            difference.origin,
            difference.to,
            ", ".join(map(signed, delta)),
            ", ".join(f"{value:.1f}" for value in half),
        )
    return table


def _typology_lines(measured: "FaceMeasurement") -> Iterator[str]:
    if measured.ita is not None:
        low, high = measured.ita.interval_90
        within = f"{number(measured.ita.degrees, 0)}° ({number(low, 0)}° to {number(high, 0)}°)"
        yield f"Individual typology angle (ITA): {within}, class {measured.ita.ita_class}"


def _reading_lines(measured: "FaceMeasurement") -> Iterator[str]:
    for region, colour in measured.regions.items():
        if colour.caution:
            yield f"{region}: {colour.caution}"
    for region, reading in measured.readings.names.items():
        others = ", ".join(f"{name.name} {whole_percent(share)}" for name, share in reading.others)
        yield f"{region}: {reading.name.name} ({whole_percent(reading.share)}{', or ' + others if others else ''})"
    for found in measured.readings.lightness_steps:
        low, high = found.interval_90
        yield f"{found.feature} against the skin: L* {signed(found.step, 0)} ({signed(low, 0)} to {signed(high, 0)})"
    for sides in measured.asymmetry:
        low, high = sides.delta_l_90
        said = sides.lighter if low <= 0 <= high else f"{sides.lighter} is lighter"
        within = f"{signed(sides.delta_l)} ({signed(low)} to {signed(high)})"
        yield f"{sides.left} against {sides.right}: L* {within}, {said}"
    yield f"hair: {measured.hair.note}{_box_of(measured.hair.outlines)}"


def _box_of(outlines: "Sequence[FloatArray]") -> str:
    if not outlines:
        return ""
    import numpy as np

    points = np.concatenate(list(outlines))
    (left, top), (right, bottom) = points.min(axis=0), points.max(axis=0)
    return f" (within {left:.0f} to {right:.0f} across and {top:.0f} to {bottom:.0f} down)"
