"""The card that was found, as a result says it."""

from dataclasses import dataclass
from typing import Any

from tenter.arrays import FloatArray
from tenter.measured.written_numbers import WrittenSection
from tenter.photo.card.map_choice import LeaveOneOut
from tenter.photo.json_numbers import rounded


@dataclass(frozen=True, slots=True)
class ChartFinding:
    """The card in the picture: corners (4, 2) in pixels of the upright original, and the honest error of its fit.

    Corners begin at the dark skin patch and go along its row; x right, y down, pixel (0, 0) spans 0..1.
    suspected_edge_px: where light seems to change on it: both ends of a line across the card, or a way round some of
    its patches, (n, 2).
    """

    corners_px: FloatArray | None = None
    leave_one_out: LeaveOneOut | None = None
    method: str = "classic24 by cv2.mcc"
    suspected_edge_px: FloatArray | None = None

    @classmethod
    def method_in(cls, written: WrittenSection | None) -> str:
        """Return by what a card was found, of a section that `to_json` has written; empty where none was found."""
        return str((written or {}).get("method") or "")

    def to_json(self) -> dict[str, Any]:
        """Return what `tenter face measure --json` says of the card: places in pixels, ΔE00 with three decimals."""
        found = self.corners_px is not None
        errors = self.leave_one_out
        return {
            "found": found,
            "method": self.method if found else None,
            "corners_px": None if self.corners_px is None else rounded(self.corners_px),
            "suspected_edge_px": None if self.suspected_edge_px is None else rounded(self.suspected_edge_px),
            "loo_delta_e_2000": None
            if errors is None
            else {"mean": round(errors.mean, 3), "p95": round(errors.p95, 3), "max": round(errors.max, 3)},
        }
