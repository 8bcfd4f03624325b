"""A rack of cloths in rows and columns in one photograph: the colour of each, so that a kit needs no instrument."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

import numpy as np

from tenter.arrays import FloatArray
from tenter.errors import TenterError
from tenter.language import _, as_typed, in_a_row, ngettext
from tenter.measured.basis import CalibrationBasis
from tenter.numerals import whole_percent
from tenter.photo.card.finding import ChartFinding
from tenter.photo.cards import CardChoice, CardSearch, ChartKind, look_for_card
from tenter.photo.cloth.colour import ClothCode, ClothColour, ClothReason, cloth_pixels, read_cloth
from tenter.photo.cloth.measure import ClothFinding, light_doubt, require_card, said_of_card, usable_correction
from tenter.photo.cloth.rack_lattice import Wall, found_cells, given_cells, look_at_wall
from tenter.photo.cloth.region import filled, outline_mask
from tenter.photo.files.loading import Photo
from tenter.photo.patches.correction import Correction

MAX_CELLS = 400  # places of one photograph: 20 by 20
_MIN_STANDING_OUT = 0.3  # part of a cell that differs from the wall, or it is empty
_LIGHT_BY_WALL = 0.04  # 90 % half-width of log light where the wall tells it
_LIGHT_PER_CARD, _MOST_LIGHT = 0.13, 0.5  # of log light for each diagonal of the card between it and the cloth, at most
_WHITE_AT = (1 / 12, 7 / 8)  # of the classic card, along its rows and down them: its white patch
_DOUBTFUL_KEPT, _DOUBTFUL_LIGHTNESS = 0.4, 8.0  # part that agrees; half-width of L*


class Order(StrEnum):
    """How cloths follow one another on a rack; a snake turns back at the end of each row."""

    ROWS = "rows"
    COLUMNS = "columns"
    SNAKE = "snake"


@dataclass(frozen=True, slots=True)
class RackCell:
    """One place of a rack, row and column from 1; its colour, or why it has none; what makes the colour doubtful.

    outline_px: its corners (4, 2) in pixels of the upright original.
    """

    name: str
    row: int
    column: int
    outline_px: FloatArray
    found: ClothColour | ClothReason

    @property
    def colour(self) -> ClothColour | None:
        """The colour, or None where it was not read."""
        return self.found if isinstance(self.found, ClothColour) else None

    @property
    def empty(self) -> bool:
        """Whether no cloth hangs there."""
        return isinstance(self.found, ClothReason) and self.found.code is ClothCode.EMPTY

    @property
    def doubt(self) -> str | None:
        """What makes the colour doubtful, in plain words, or None."""
        if self.colour is None:
            return None
        if self.colour.part.kept < _DOUBTFUL_KEPT:
            return f"only {whole_percent(self.colour.part.kept)} of the cloth agree on the colour"
        if self.colour.half_width_90[0] > _DOUBTFUL_LIGHTNESS:
            return f"its lightness is known to ±{self.colour.half_width_90[0]:.0f} only"
        return None

    def to_json(self) -> dict[str, Any]:
        """Return what `tenter cloth rack --json` says of the place; its outline in pixels."""
        return {
            "name": self.name,
            "row": self.row,
            "column": self.column,
            "cloth": None if self.colour is None else self.colour.to_json(),
            "empty": self.empty,
            "reason": self.found.to_json() if isinstance(self.found, ClothReason) else None,
            "doubt": self.doubt,
            "outline_px": np.round(self.outline_px, 1).tolist(),
        }


@dataclass(frozen=True, slots=True, kw_only=True)
class RackMeasurement(ClothFinding):
    """A rack in one photograph: its cells in the order of their names, and what is to be said."""

    cells: tuple[RackCell, ...]
    light: str

    @property
    def accepted(self) -> bool:
        """Whether a colour was read anywhere on the rack."""
        return any(cell.colour is not None for cell in self.cells)

    def to_json(self) -> dict[str, Any]:
        """Return the object of docs/studies/photo-study.md, ready for `json.dumps`."""
        return {
            **self.head(),
            "light": self.light,
            "cells": [cell.to_json() for cell in self.cells],
            "chart": self.chart.to_json(),
        }


def numbers_from(first: str, count: int) -> tuple[str, ...]:
    """Return names that follow one another, as D001, D002, …; raises `TenterError` without a number to count on."""
    match = re.fullmatch(r"(.*?)(\d+)(\D*)", first)
    if match is None:
        raise TenterError(
            _(
                "{first} has no number to count on from; give one such as D001, or --numbers D001,D002,…",
                first=as_typed(first),
            )
        )
    before, digits, after = match.groups()
    return tuple(f"{before}{int(digits) + k:0{len(digits)}d}{after}" for k in range(count))


def in_order(names: Sequence[str], rows: int, columns: int, order: Order) -> list[list[str]]:
    """Return the names as rows of columns; raises `TenterError` unless there is one for each cell, each once."""
    if len(names) != rows * columns:
        raise TenterError(
            _(
                "{numbers} came for {rows}; give {needed}, one for each place, empty ones too",
                numbers=ngettext("{count} number", "{count} numbers", len(names)),
                rows=ngettext("{count} row of {columns}", "{count} rows of {columns}", rows, columns=columns),
                needed=rows * columns,
            )
        )
    twice = sorted({name for name in names if list(names).count(name) > 1})
    if twice:
        raise TenterError(_("each cloth has a number of its own; given twice: {names}", names=in_a_row(twice)))
    if order is Order.COLUMNS:
        return [list(names[row::rows]) for row in range(rows)]
    grid = [list(names[row * columns : (row + 1) * columns]) for row in range(rows)]
    return [line[::-1] if order is Order.SNAKE and row % 2 else line for row, line in enumerate(grid)]


def measure_rack(
    photo: Photo,
    rows: int,
    columns: int,
    names: Sequence[Sequence[str]] | None = None,
    chart: ChartKind | CardChoice = ChartKind.CLASSIC24,
    corners: FloatArray | None = None,
) -> RackMeasurement:
    """Return the colours of the cloths on a rack.

    Parameters
    ----------
    names : rows of columns, optional
        Without them a cell is called by its place, "r1c1".
    corners : (4, 2), optional
        Of the rack in pixels of the upright original, top left first, then clockwise; looked for when left out.

    Raises
    ------
    TenterError
        If there is no card to go by, or rows, columns or corners cannot be.
    """
    choice = require_card(chart)
    if rows < 1 or columns < 1 or rows * columns > MAX_CELLS:
        raise TenterError(
            _(
                "{rows} rows of {columns} came; give at least 1 of each, and at most {most} cells",
                rows=rows,
                columns=columns,
                most=MAX_CELLS,
            )
        )
    if corners is not None:
        given_cells(corners, rows, columns)
        outline_mask(photo, corners)
    card = look_for_card(photo, choice)
    correction = usable_correction(card)
    if correction is None:
        return _rack(card, (), CalibrationBasis.RELATIVE)
    wall = look_at_wall(photo, correction, card.finding.corners_px)
    quads = found_cells(wall, rows, columns) if corners is None else given_cells(corners, rows, columns)
    if quads is None:
        return _rack(card, (_not_found(rows, columns),), correction.basis)
    reader = _CellReader(photo, correction, wall, card.finding, choice.kind, light_doubt(card))
    places = [[f"r{r}c{c}" for c in range(1, columns + 1)] for r in range(1, rows + 1)] if names is None else names
    cells = [
        RackCell(places[r][c], r + 1, c + 1, quads[r, c], reader.read(quads[r, c]))
        for r in range(rows)
        for c in range(columns)
    ]
    return _rack(card, (), correction.basis, tuple(cells), reader.light)


def _rack(
    card: CardSearch,
    reasons: tuple[ClothReason, ...],
    basis: CalibrationBasis,
    cells: tuple[RackCell, ...] = (),
    light: str = "",
) -> RackMeasurement:
    return RackMeasurement(
        card_reasons=said_of_card(card), reasons=reasons, basis=basis, chart=card.finding, cells=cells, light=light
    )


def _not_found(rows: int, columns: int) -> ClothReason:
    return ClothReason(
        ClothCode.NOT_FOUND,
        _(
            "{rows} of {cloths} were not found. Say where the rack is with --corners, four times x,y in pixels: top "
            "left, top right, bottom right, bottom left. A plain wall behind and a gap between cloths help.",
            rows=ngettext("{count} row", "{count} rows", rows),
            cloths=ngettext("{count} cloth", "{count} cloths", columns),
        ),
    )


@dataclass(frozen=True, slots=True)
class _CellReader:
    photo: Photo
    correction: Correction
    wall: Wall
    chart: ChartFinding
    kind: ChartKind
    light_doubt: float

    @property
    def light(self) -> str:
        """How the light across the rack was dealt with, in plain words."""
        if self.wall.even:
            return _("The light across the rack was read from the plain wall behind it and taken out.")
        return _(
            "The light across the rack could not be read from the wall, so it was not taken out; intervals grow with "
            "the distance from the card. A plain wall between the cloths and around the card would help."
        )

    def read(self, quad: FloatArray) -> ClothColour | ClothReason:
        if self.wall.seen and self.wall.uncovered(quad) < _MIN_STANDING_OUT:
            return ClothReason(
                ClothCode.EMPTY,
                _(
                    "Nothing is different from the wall here: the place is empty, or the cloth has the wall's "
                    "colour. Photograph such a cloth on another background."
                ),
            )
        mask = filled(self.photo.rgb.shape[:2], quad / self.photo.reduction)
        pixels = cloth_pixels(self.photo, mask, self.correction)
        white = self._card_white()
        if white is None or not self.wall.even:
            return read_cloth(
                pixels, self.correction, light_error=float(np.hypot(self._by_distance(quad), self.light_doubt))
            )
        at = (pixels.at + 0.5) * self.photo.reduction
        light = np.exp(self.wall.log_light(at) - self.wall.log_light(white[None]))
        return read_cloth(pixels, self.correction, light, float(np.hypot(_LIGHT_BY_WALL, self.light_doubt)))

    def _card_white(self) -> FloatArray | None:
        """Return where (2,) the light is that the card's colours are relative to."""
        corners = self.chart.corners_px
        if corners is None:
            return None
        along, down = _WHITE_AT if self.kind is ChartKind.CLASSIC24 else (0.5, 0.5)
        weights = np.array([(1 - along) * (1 - down), along * (1 - down), along * down, (1 - along) * down])
        return np.asarray(weights @ corners, dtype=float)

    def _by_distance(self, quad: FloatArray) -> float:
        corners = self.chart.corners_px
        if corners is None:
            return _MOST_LIGHT
        diagonal = float(np.linalg.norm(corners[0] - corners[2]))
        away = float(np.linalg.norm(quad.mean(axis=0) - corners.mean(axis=0)))
        return min(_MOST_LIGHT, _LIGHT_PER_CARD * away / max(diagonal, 1.0))
