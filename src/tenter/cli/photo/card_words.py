"""What `tenter card` says of cards, in words, in tables and as JSON, and where it stores their values."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from tenter.cli.shared.output_files import require_free
from tenter.errors import TenterError
from tenter.numerals import how_many

if TYPE_CHECKING:
    from tenter.photo.files.kept import Kept
    from tenter.photo.own_card.calibration import CardCalibration
    from tenter.photo.own_card.values import OwnCardValues

_NEEDED = "It needs a 24-patch chart once: borrow one if you have none."
_SECOND = "A second photograph of a card, by an incandescent lamp, named beside the first, makes its values surer."
_HEADINGS = ("No.", "Measured on", "Photographs", "± L*, a*, b*")
_CLOSENESS = "±: half of a card's patches are within this or less, nine times of ten."


@dataclass(frozen=True, slots=True)
class Stored:
    """Where a card's values went, and those that they took the place of, if there were any."""

    path: Path
    replaced: "OwnCardValues | None"


def printed_sheet(serial: int, out: Path) -> list[str]:
    """Return what is said once a sheet is written: first what the card will need."""
    from tenter.photo.own_card.kept import kept_serials

    measured = (
        f"▲ A card No. {serial} was measured here before. If this is another print of it, give it another number: "
        "--serial, or none, and one is drawn."
    )
    return [
        f"{_NEEDED} Until a print is measured beside it, no colour is read from that print.",
        f"Card No. {serial} is in {out}. Print it at 100 % on matt paper, and let it dry for a day.",
        f"Then photograph it beside the chart in daylight, and run: tenter card calibrate PHOTO (No. {serial} is read "
        "from the picture). The sheet says the rest. Give each print a number of its own.",
        *([measured] if serial in kept_serials() else []),
    ]


def store(values: Sequence["OwnCardValues"], out: Path | None, replace: bool) -> dict[int, Stored]:
    """Write cards' values, each where it is kept by number, or where `out` says; return where, by number.

    What is kept by number is what was measured last; a file in `out` is written over only with `replace`.

    Raises
    ------
    TenterError
        If `out` names one file for several cards, or a file cannot be written or is there already.
    """
    from tenter.photo.own_card.kept import kept_values_path, values_path_in
    from tenter.photo.own_card.values import write_card_values

    if out is not None and len(values) > 1 and not out.is_dir():
        raise TenterError(
            f"the photographs show {len(values)} cards, and {out} is no folder; give a folder that is there, one file "
            "is written for each card"
        )
    if out is None:
        paths = [kept_values_path(card.serial) for card in values]
    else:
        paths = [values_path_in(out, card.serial) if out.is_dir() else out for card in values]
        require_free(paths, replace)
    stored = {}
    for card, path in zip(values, paths, strict=True):
        stored[card.serial] = Stored(path, _values_before(path, card.serial))
        write_card_values(card, path)
    return stored


def _values_before(path: Path, serial: int) -> "OwnCardValues | None":
    """Return the values of this card that a file holds already."""
    from tenter.photo.own_card.values import read_card_values

    try:
        before = read_card_values(path) if path.is_file() else None
    except TenterError:
        return None
    return before if before is not None and before.serial == serial else None


def told_calibration(found: "CardCalibration", files: Sequence[Path], stored: Mapping[int, Stored]) -> list[str]:
    """Return what is said of a calibration: what was left out and why, then a table of the cards by number."""
    lines = []
    for file, photograph in zip(files, found.photographs, strict=True):
        if photograph.reasons:
            lines.append(f"{file} is left out{_whose(photograph.serial)}:")
            lines += [f"• {reason.text}" for reason in photograph.reasons]
    if not found.values:
        return [*lines, "Nothing was stored."]
    lines += [*_table(found.values), _CLOSENESS]
    lines += [_where(card, stored[card.serial]) for card in found.values]
    left_out = {p.serial for p in found.photographs if p.serial is not None} - set(stored)
    lines += [f"Card No. {serial} was not measured: every photograph of it is left out." for serial in sorted(left_out)]
    if any(card.photographs == 1 for card in found.values):
        lines.append(_SECOND)
    return lines


def _whose(serial: int | None) -> str:
    return "" if serial is None else f" (card No. {serial})"


def _where(card: "OwnCardValues", place: Stored) -> str:
    told = f"The values of card No. {card.serial} are in {place.path}."
    before = place.replaced
    if before is None:
        return told
    told += f" They replace those of {before.calibrated_on.isoformat()}"
    if before.photographs <= card.photographs:
        return f"{told}."
    return (
        f"{told}, which were read from {how_many(before.photographs, 'photograph')}. Name all photographs of a card "
        "together: they are not added to what is stored."
    )


def card_table(kept: "Sequence[Kept[int, OwnCardValues]]", today: date) -> list[str]:
    """Return the table of the cards that were measured here, and which of them to measure again."""
    if not kept:
        return [
            "No card was measured here yet. Print one with: tenter card print OUT.pdf",
            f"Then photograph it beside a 24-patch chart, and run: tenter card calibrate PHOTO. {_NEEDED}",
        ]
    read = [card.value for card in kept if card.value is not None]
    lines = [*_table(read), _CLOSENESS] if read else []
    lines += [
        f"Card No. {card.serial} was measured {card.months_old(today)} months ago, and inks fade. Measure it again."
        for card in read
        if card.is_old(today)
    ]
    return lines + [
        f"Card No. {card.key}: {card.path} cannot be used: {card.problem}." for card in kept if card.value is None
    ]


def _table(values: Sequence["OwnCardValues"]) -> list[str]:
    """Return a table of cards in aligned columns, the headings first."""
    rows = [_HEADINGS, *(_row(card) for card in values)]
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    return ["  ".join(cell.rjust(width) for cell, width in zip(row, widths, strict=True)) for row in rows]


def _row(card: "OwnCardValues") -> tuple[str, ...]:
    half = ", ".join(f"{width:.1f}" for width in card.typical_half_width_90)
    return str(card.serial), card.calibrated_on.isoformat(), str(card.photographs), half


def as_document(
    found: "CardCalibration", files: Sequence[Path], chart: str, stored: Mapping[int, Stored]
) -> dict[str, object]:
    """Return a calibration as JSON. file and values are those of the card where there is one alone."""
    cards = [
        {"serial": card.serial, "file": str(stored[card.serial].path), "values": card.to_json()}
        for card in found.values
    ]
    alone = cards[0] if len(cards) == 1 else {"file": None, "values": None}
    return {
        "accepted": bool(cards),
        "reasons": [
            {"photo": str(file), "serial": photograph.serial, "code": str(reason.code), "text": reason.text}
            for file, photograph in zip(files, found.photographs, strict=True)
            for reason in photograph.reasons
        ],
        "chart": chart,
        "file": alone["file"],
        "values": alone["values"],
        "cards": cards,
    }


def card_document(card: "Kept[int, OwnCardValues]", today: date) -> dict[str, object]:
    """Return a kept card as JSON, without its patches."""
    found = card.value
    return {
        "serial": card.key,
        "file": str(card.path),
        "problem": card.problem or None,
        "calibrated_on": found and found.calibrated_on.isoformat(),
        "photographs": found and found.photographs,
        "lab_half_width_90": found and [round(float(width), 2) for width in found.typical_half_width_90],
        "old": found and found.is_old(today),
    }
