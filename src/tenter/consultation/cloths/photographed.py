"""Cloths measured by photograph, put into a kit: another kit file, and what in it differs from the one before.

A photograph gives D65/2°. Where a kit has other conditions the colour is carried there through a recovered reflectance:
predicted, not measured, and the cloth's notes say so. A kit has no column for an interval, so that the notes have it.
"""

import csv
import io
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from tenter.arrays import FloatArray
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.measurement import D65_2, D65_10, Colours, Conditions
from tenter.consultation.cloths.hue_families import hue_family
from tenter.consultation.cloths.kit import KIT_REQUIRED, Drape, Kit
from tenter.consultation.words import terms
from tenter.errors import TenterError
from tenter.language import _, in_a_row

_SAID, _BESIDE = "from a photograph", " · "  # how the notes begin, and what keeps others apart
_LIGHT = ("illuminant", "observer")


@dataclass(frozen=True, slots=True)
class PhotographedCloth:
    """A cloth's number, its Lab (3,) under D65/2° with the half-widths (3,) of the 90 % interval, and any doubt."""

    id: str
    lab: FloatArray
    half_width_90: FloatArray
    doubt: str = ""


@dataclass(frozen=True, slots=True)
class KitChange:
    """What photographs make of one cloth of a kit, under the kit's own conditions.

    before, after: Lab (3,); before is None for a cloth that is new in the kit, or that was known by its label alone.
    half_width_90 (3,): of the 90 % interval of `after`. delta_e: ΔE00 from before to after. remarks: what stays as the
    kit has it although the colour is another, and any doubt.
    """

    id: str
    name: str
    is_new: bool
    before: FloatArray | None
    after: FloatArray
    half_width_90: FloatArray
    delta_e: float | None
    remarks: tuple[str, ...]

    @property
    def is_beyond(self) -> bool:
        """Whether the value before lies outside the photograph's interval."""
        return self.before is not None and bool((np.abs(self.after - self.before) > self.half_width_90).any())


@dataclass(frozen=True, slots=True)
class KitDraft:
    """A kit file with colours from photographs, what differs, and how many cloths stay as they were."""

    text: str
    changes: tuple[KitChange, ...]
    unchanged: int
    conditions: Conditions


def is_photographed(drape: Drape) -> bool:
    """Whether a cloth's colour comes from a photograph, as its notes say."""
    return any(part.startswith(_SAID) for part in drape.notes.split(_BESIDE))


def with_photographed(cloths: Sequence[PhotographedCloth], text: str | None = None) -> KitDraft:
    """Return a kit file with the colours of photographed cloths put in, added at its end where it has none of them.

    text: the kit file before; a new one of these cloths alone without it.

    Raises
    ------
    TenterError
        Unless there is a cloth, and each has a number of its own, such as a kit can have.
    UnreadableInput
        If `text` is no kit.
    """
    _require_numbers(cloths)
    before = None if text is None else Kit.parse(text)
    conditions = before.colours.conditions if before else D65_10
    lab = Colours(np.array([cloth.lab for cloth in cloths]), D65_2).under(conditions).lab
    header, rows = _table(text)
    light = {name: rows[0][name] for name in _LIGHT} if rows else dict(zip(_LIGHT, ("D65", "10"), strict=True))
    known = {row["id"]: row for row in rows}
    for cloth, values in zip(cloths, lab, strict=True):
        if cloth.id not in known:
            known[cloth.id] = {"id": cloth.id, "name": cloth.id, **light}
        row = known[cloth.id]
        row.update({axis: f"{round(value, 1) + 0.0:.1f}" for axis, value in zip("Lab", values, strict=True)})
        row["notes"] = _notes(cloth, row.get("notes", ""), conditions)
    written = _written(header, list(known.values()))
    after = Kit.parse(written)  # numbers that a kit cannot have are said before anything is kept
    changes = tuple(_change(cloth, before, after) for cloth in cloths)
    return KitDraft(written, changes, len(after) - len(changes), conditions)


def _require_numbers(cloths: Sequence[PhotographedCloth]) -> None:
    ids = [cloth.id for cloth in cloths]
    twice = sorted({name for name in ids if ids.count(name) > 1})
    if not ids:
        raise TenterError(_("no cloth came to put into a kit; give at least one a number"))
    if twice:
        raise TenterError(_("each cloth has a number of its own; given twice: {names}", names=in_a_row(twice)))


def _table(text: str | None) -> tuple[list[str], list[dict[str, str]]]:
    """Return the columns and the rows of a kit file that has been read, in their order."""
    if text is None:
        return [*KIT_REQUIRED, "notes"], []
    lines = [line for line in csv.reader(io.StringIO(text, newline="")) if any(cell.strip() for cell in line)]
    header, *rows = [[cell.strip() for cell in line] for line in lines]
    columns = header if "notes" in header else [*header, "notes"]
    return columns, [dict.fromkeys(header, "") | dict(zip(header, row, strict=False)) for row in rows]


def _written(header: Sequence[str], rows: Sequence[Mapping[str, str]]) -> str:
    text = io.StringIO()
    table = csv.DictWriter(text, header, lineterminator="\n")
    table.writeheader()
    table.writerows(rows)
    return text.getvalue()


def _notes(cloth: PhotographedCloth, before: str, conditions: Conditions) -> str:
    """Return what the notes of a cloth say of its colour, with all else that they said."""
    widths = ", ".join(f"{half:.1f}" for half in cloth.half_width_90)
    converted = "" if conditions == D65_2 else "; converted from D65/2°"
    doubt = f"; doubtful: {cloth.doubt}" if cloth.doubt else ""
    others = [part for part in before.split(_BESIDE) if part and not part.startswith(_SAID)]
    return _BESIDE.join([f"{_SAID} ± {widths} (L*, a*, b*, 90 %){converted}{doubt}", *others])


def _change(cloth: PhotographedCloth, before: Kit | None, after: Kit) -> KitChange:
    row, drape = after.row(cloth.id), after[cloth.id]
    is_new = before is None or cloth.id not in before
    had = None if before is None or is_new or not before[cloth.id].measured else before.lab[before.row(cloth.id)]
    remarks = [*_what_stays(after, row), cloth.doubt]
    if had is None and not is_new:
        remarks.insert(0, _("known by its label alone until now"))
    return KitChange(
        id=cloth.id,
        name=drape.name,
        is_new=is_new,
        before=had,
        after=after.lab[row],
        half_width_90=cloth.half_width_90,
        delta_e=None if had is None else float(delta_e_2000(had, after.lab[row])),
        remarks=tuple(remark for remark in remarks if remark),
    )


def _what_stays(kit: Kit, row: int) -> list[str]:
    """Return what a kit says of a cloth by hand, and a colour does not overrule."""
    drape, read = kit.drapes[row], hue_family(kit.bench_colours.lab[row])
    said = [] if drape.undertone is None else [_("its undertone stays as set by hand")]
    if drape.hue_family is not read:
        said.append(
            _(
                "it stays in the hue family {family}, as the kit says; by its colour it would be {other}",
                family=terms.hue_sentence(drape.hue_family),
                other=terms.hue_sentence(read),
            )
        )
    return said
