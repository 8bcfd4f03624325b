"""What to send to a printer so that swatches come out nearer to their colours, learned once from a printed test sheet.

The printed colour is taken for the colour sent, or for what the printer's profile makes of that where it is used with
one, and a smooth change: a polynomial of third degree in L*, a* and b*, and what is left of it drawn smoothly through
the patches (kriging). What was learned with a profile holds with that profile alone, which its file names by a digest.
Sixty patches say by how much it misses a patch that it has not seen; that figure is kept and stated.

Source: C. E. Rasmussen, C. K. I. Williams (2006), Gaussian Processes for Machine Learning, sections 2.2, 2.7 and 5.4.2
(leaving one out); from memory.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import numpy as np

from tenter.arrays import FloatArray
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.spaces import lab_to_srgb, srgb_to_lab
from tenter.consultation.cloths.tables import json_of, read_text
from tenter.errors import TenterError, UnreadableInput
from tenter.given import given_array, given_path, shown
from tenter.language import N_, _, as_written
from tenter.report.printing.nearest import searched
from tenter.report.printing.printer_profile import PrinterProfile
from tenter.report.printing.soft_proof import printed_through

LEAST_PATCHES: Final = 30  # of those that are printed; set by judgement
MOST_MISSED: Final = 5.0  # mean ΔE00 of patches left out, beyond which they are no sheet of one printer
_REACH = 30.0  # ΔE in Lab over which the smooth remainder is alike
_REMAINDER, _WEIGHT, _SHIFT, _NOISE = 4.0, 3.3, 1000.0, 1.0  # variances in Lab: remainder, terms, constant, reading
_MOST = 1000.0  # of L*, a* and b*, far beyond any print: larger ones are no colours, and neither are NaN and infinity
_REMEDY = N_("A correction is written by 'tenter printer learn'.")
_TAG = "tenter print correction"


@dataclass(frozen=True, slots=True, eq=False)
class PrintCorrection:
    """What a printer does to colours. CIELAB is D65/2°. profile: the one that it is used with, None for none.

    sent (n, 3): of the patches' codes. measured (n, 3): as they were printed. weights (n, 3): of the smooth remainder,
    one row a patch. left_out: mean ΔE00 by which a patch is missed that the others alone foretell. uncorrected: mean
    ΔE00 of what was printed from what was sent.
    """

    sent: FloatArray
    measured: FloatArray
    weights: FloatArray
    left_out: float
    uncorrected: float
    profile: PrinterProfile | None = None

    def printed(self, lab: FloatArray) -> FloatArray:
        """Return what is printed, CIELAB (n, 3) under D65/2°, where colours (n, 3) are sent."""
        found: FloatArray = _foretold(lab, self.profile) + _likeness(lab, self.sent) @ self.weights
        return found

    def to_send(self, lab: FloatArray) -> tuple[list[str], FloatArray]:
        """Return '#rrggbb' to send for colours (n, 3), and the ΔE00 (n,) that is expected to remain."""
        start = np.clip(lab_to_srgb(lab), 0, 1)
        values, _ = searched(lambda codes: self.printed(srgb_to_lab(codes)), lab, start)
        codes = np.round(values * 255).astype(int)
        remaining = delta_e_2000(self.printed(srgb_to_lab(codes / 255)), lab)
        return [f"#{r:02x}{g:02x}{b:02x}" for r, g, b in codes], remaining


def fitted(codes: FloatArray, measured: FloatArray, profile: PrinterProfile | None = None) -> PrintCorrection:
    """Return the correction of a printer that printed code values (n, 3), 0 to 1, as colours (n, 3), CIELAB D65/2°.

    profile: the one that the printer used for that, and will use. The model and its source are said above.

    Raises
    ------
    TenterError
        If the patches are too few, are no colours, or do not fit one another.
    """
    given = given_array(measured, _("the list of printed colours"))
    if given.ndim != 2 or given.shape[1] != 3 or given.shape != np.shape(codes) or not (np.abs(given) <= _MOST).all():
        raise TenterError(_("the patches of a test sheet are as many colours of three finite numbers as were sent"))
    if len(given) < LEAST_PATCHES:
        raise TenterError(
            _(
                "{count} patches of the test sheet could be read, and {least} are needed; photograph "
                "the whole sheet, sharp and evenly lit",
                count=len(given),
                least=LEAST_PATCHES,
            )
        )
    sent = srgb_to_lab(codes)
    inverse = np.linalg.inv(_likeness(sent, sent) + _NOISE * np.eye(len(sent)))
    weights = inverse @ (given - _foretold(sent, profile))
    left_out = float(delta_e_2000(given - weights / np.diag(inverse)[:, None], given).mean())
    if left_out > MOST_MISSED:
        raise TenterError(
            _(
                "the patches of this test sheet do not fit one another: the rest miss each by ΔE00 {left_out}. "
                "Check that the sheet was printed without a “vivid” setting, that it lies flat, and that no "
                "shadow or glare is on it",
                left_out=as_written(f"{left_out:.1f}"),
            )
        )
    return PrintCorrection(sent, given, weights, left_out, float(delta_e_2000(sent, given).mean()), profile)


def _foretold(lab: FloatArray, profile: PrinterProfile | None) -> FloatArray:
    """Return what is expected of colours sent (n, 3) before anything is learned."""
    return lab if profile is None else printed_through(profile, lab)


def _likeness(one: FloatArray, other: FloatArray) -> FloatArray:
    """Return how alike the printer's changes to colours (n, 3) and (m, 3) are taken to be: covariances (n, m)."""
    apart = ((one[:, None] - other) ** 2).sum(axis=-1)
    terms = _terms(one) @ (_term_variances() * _terms(other)).T
    alike: FloatArray = _REMAINDER * np.exp(-apart / (2 * _REACH**2)) + terms
    return alike


def _terms(lab: FloatArray) -> FloatArray:
    """Return the terms (n, 20) of a polynomial of third degree."""
    lightness, a, b = ((lab - np.array([50.0, 0.0, 0.0])) / 50).T
    powers = [(i, j, k) for i in range(4) for j in range(4 - i) for k in range(4 - i - j)]
    return np.stack([lightness**i * a**j * b**k for i, j, k in powers], axis=1)


def _term_variances() -> FloatArray:
    return np.array([_SHIFT] + [_WEIGHT] * 19)


# -- in a file ---------------------------------------------------------------------------------------------------------


def correction_document(correction: PrintCorrection) -> dict[str, object]:
    """Return a correction as plain values for JSON: what was sent and what was printed, from which it is made again."""
    codes, profile = np.round(lab_to_srgb(correction.sent) * 255).astype(int), correction.profile
    return {
        "kind": _TAG,
        "illuminant": "D65",
        "observer": "2",
        "sent": codes.tolist(),
        "measured": np.round(correction.measured, 3).tolist(),
        "left_out_delta_e": round(correction.left_out, 2),
        "uncorrected_delta_e": round(correction.uncorrected, 2),
        "profile": profile and {"name": profile.name, "sha256": profile.digest},
    }


def read_correction(path: str | Path, profile: PrinterProfile | None = None) -> PrintCorrection:
    """Return the correction of a file, for a printer that uses a profile or none.

    Raises
    ------
    TenterError
        For what is no path.
    UnreadableInput
        Naming what is wrong with it, or that it was learned with another profile.
    """
    document = json_of(read_text(given_path(path)), str(path), _(_REMEDY))
    return correction_from(document, str(path), profile)


def correction_from(
    document: object, source: str = "correction", profile: PrinterProfile | None = None
) -> PrintCorrection:
    """Return the correction of a document, as `read_correction` does.

    Raises `UnreadableInput` where it is no correction, was learned with another profile, or its patches cannot be
    fitted.
    """
    if not isinstance(document, Mapping) or document.get("kind") != _TAG:
        raise UnreadableInput(source, _("this is not a printer's correction"), _(_REMEDY))
    why, remedy = _why_not_with(document.get("profile"), profile)
    if why:
        raise UnreadableInput(source, why, remedy)
    try:
        codes = given_array(document.get("sent"), "sent")
        return fitted(np.clip(codes / 255, 0, 1), given_array(document.get("measured"), "measured"), profile)
    except TenterError as error:
        raise UnreadableInput(source, str(error), _(_REMEDY)) from None


def _why_not_with(learned: object, profile: PrinterProfile | None) -> tuple[str, str]:
    """Return why a correction does not hold for a printer that uses a profile, and what would do; empty where it does.

    learned: what its document says of the profile that it was learned with, None for none.
    """
    if learned is None:
        if profile is None:
            return "", ""
        return (
            _("this correction was learned without a profile, so it does not hold while the printer uses one"),
            _("Leave --profile out, or print the test sheet with the profile and run tenter printer learn --profile"),
        )
    name, digest = (learned.get(key) for key in ("name", "sha256")) if isinstance(learned, Mapping) else (None, None)
    if not isinstance(name, str) or not isinstance(digest, str):
        return _("what this correction says of its profile cannot be read"), _(_REMEDY)
    if profile is None:
        return (
            _(
                "this correction was learned with the profile {profile}, and holds only while the printer uses that",
                profile=shown(name),
            ),
            _("Give the profile by --profile, and choose it in the printer's settings"),
        )
    if profile.digest == digest:
        return "", ""
    return (
        _(
            "this correction was learned with another profile, {other} (SHA-256 {others_digest}…), than {own} "
            "({own_digest}…)",
            other=shown(name),
            others_digest=shown(digest[:8]),
            own=profile.name,
            own_digest=profile.digest[:8],
        ),
        _("Give that one, or print the test sheet with this one and run tenter printer learn --profile"),
    )
