"""A kit as it was on a day: its cloths, each with the colour of the last readings up to then.

An old sitting is read with the kit as it was. A cloth that nobody had read by that day has the colour of the kit file.
"""

import csv
import io
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

import numpy as np

from tenter.colorimetry.measurement import Colours
from tenter.consultation.cloths.kit import Kit
from tenter.consultation.readings.cloth_reading import ClothReading, ConversionBasis, day_from
from tenter.consultation.readings.summary import ClothSummary, cloth_summaries


@dataclass(frozen=True, eq=False)
class KitOnDay:
    """A kit on a day. taken: by cloth, the readings that its colour comes from; others are as the kit file has them."""

    kit: Kit
    day: str
    taken: Mapping[str, ClothSummary]

    @property
    def predicted(self) -> tuple[str, ...]:
        """The cloths whose colour under the kit's light is predicted from another, not measured."""
        return tuple(name for name, one in self.taken.items() if ConversionBasis.PREDICTED in one.basis)


def kit_on_day(kit: Kit, readings: Iterable[ClothReading], day: str) -> KitOnDay:
    """Return a kit as it was at the end of a day (ISO date), under the kit's own light and observer.

    Readings of cloths that the kit does not have are left out. Nothing of a cloth but its colour changes.

    Raises
    ------
    TenterError
        If the day is none, or a colour cannot be carried to the kit's light.
    """
    last = day_from(day)
    known = [one for one in readings if one.cloth in kit and one.day <= last]
    newest: dict[str, str] = {}
    for one in known:
        newest[one.cloth] = max(one.day, newest.get(one.cloth, ""))
    taken = {
        one.cloth: one
        for one in cloth_summaries((r for r in known if r.day == newest[r.cloth]), kit.colours.conditions)
    }
    if not taken:
        return KitOnDay(kit, last, {})
    lab = np.array(kit.lab)
    for name, summary in taken.items():
        lab[kit.row(name)] = summary.lab
    drapes = tuple(replace(d, measured=True) if d.id in taken else d for d in kit.drapes)
    return KitOnDay(Kit(drapes, Colours(lab, kit.colours.conditions, kit.colours.recovered)), last, taken)


def kit_file_on_day(text: str, found: KitOnDay) -> str:
    """Return the CSV of a kit file with the colours of a day in it, to two decimals; all else stays as it is.

    text: the kit file that the kit was read from.
    """
    lines = [line for line in csv.reader(io.StringIO(text, newline="")) if any(cell.strip() for cell in line)]
    header, *rows = [[cell.strip() for cell in line] for line in lines]
    written = io.StringIO()
    table = csv.DictWriter(written, header, lineterminator="\n")
    table.writeheader()
    for row in rows:
        cells = dict.fromkeys(header, "") | dict(zip(header, row, strict=False))
        if one := found.taken.get(cells["id"]):
            cells |= {axis: f"{round(value, 2) + 0.0:.2f}" for axis, value in zip("Lab", one.lab, strict=True)}
            light = one.conditions
            cells |= {"illuminant": light.illuminant, "observer": str(light.observer)}
        table.writerow(cells)
    return written.getvalue()
