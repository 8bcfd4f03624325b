"""What is said of colours that a printer misses: on the client's swatches in words, to the studio in figures."""

from collections.abc import Sequence

from tenter.arrays import FloatArray
from tenter.colorimetry.difference import delta_e_2000
from tenter.consultation.colours.colours import PaletteColour
from tenter.consultation.words.difference_words import SAME, difference
from tenter.language import N_, _
from tenter.numerals import number
from tenter.report.printing.print_correction import PrintCorrection
from tenter.report.printing.printer_profile import PrinterProfile
from tenter.report.printing.soft_proof import REACHED, SoftProof, paper_lab

MISSED = N_("≠ The printer does not make this colour as it is. Trust the cloth.")


_FILE_ALONE = (
    "This profile describes a screen or a colour space, as photo labs ask for. It says which colours a file can "
    "hold, but nothing about paper and inks. The print may miss more."
)


def miss_mark(asked: FloatArray, printed: FloatArray) -> str:
    """Return what stands behind a swatch that is printed as another colour; empty where the two look the same.

    Both are CIELAB (3,) under the same conditions.
    """
    told = difference(asked, printed)
    return "" if told == SAME else _("≠ prints {difference}", difference=told)


def paper_words(profile: PrinterProfile) -> str:
    """Return how white the paper of a profile is, and what that does to swatches; or that it speaks of no paper."""
    if not profile.of_paper:
        return _FILE_ALONE
    paper = paper_lab(profile)
    off = float(delta_e_2000(paper, [100.0, 0.0, 0.0]))
    figures = ", ".join(f"{letter} {number(float(v))}" for letter, v in zip(("L*", "a*", "b*"), paper, strict=True))
    return (
        f"The paper is {figures} beside a perfect white (ΔE00 {number(off)}). The first figure of each colour takes "
        "the paper for white, as the eye does on the sheet. The second counts the paper's own colour too, as it does "
        "beside a cloth."
    )


def correction_words(correction: PrintCorrection) -> str:
    """Return what was learned of a printer, and how far it may be trusted."""
    return (
        f"As sent, the printer misses the test sheet's {len(correction.sent)} patches by ΔE00 "
        f"{number(correction.uncorrected)} on average. A patch's colour is predicted from the others to "
        f"within {number(correction.left_out)}. Corrected colours come that near at best: what the photograph "
        "misread comes on top, in tests ΔE00 1 to 3. Print the sheet again and photograph it to see. "
        f"The correction holds for {_used_with(correction)}this paper, this ink and these settings."
    )


def _used_with(correction: PrintCorrection) -> str:
    return f"the profile {correction.profile.name}, " if correction.profile else ""


def corrected_lines(rows: Sequence[PaletteColour], misses: FloatArray) -> tuple[str, ...]:
    """Return how many colours are expected to come out, and a line for each other, the worst first.

    misses (n,): the ΔE00 that a correction is expected to leave of each of n rows.
    """
    pairs = sorted(zip(rows, misses, strict=True), key=lambda pair: -pair[1])
    missed = tuple(f"{row.name}: misses by about {number(float(miss))}" for row, miss in pairs if miss > REACHED)
    reached = len(pairs) - len(missed)
    return (f"{reached} of {len(pairs)} colours are expected to within ΔE00 {number(REACHED)}.", *missed)


def proof_lines(rows: Sequence[PaletteColour], proofs: Sequence[SoftProof]) -> tuple[str, ...]:
    """Return a line for every colour that the printer misses, the worst first, and how many it reaches."""
    pairs = sorted(zip(rows, proofs, strict=True), key=lambda pair: -pair[1].miss)
    missed = tuple(_line(row, proof) for row, proof in pairs if proof.miss > REACHED)
    reached = f"{len(pairs) - len(missed)} of {len(pairs)} colours are printed to within ΔE00 {number(REACHED)}."
    return (reached, *missed)


def _line(row: PaletteColour, proof: SoftProof) -> str:
    told = f"{row.name}: misses by {number(proof.miss)}, beside a cloth by {number(proof.beside)}"
    if proof.printable:
        return f"{told}; paper and inks could come to within {number(proof.nearest_miss)}"
    return f"{told}; the nearest printable colour is {_lab_words(proof.nearest)}, off by {number(proof.nearest_miss)}"


def _lab_words(lab: FloatArray) -> str:
    return f"Lab {', '.join(number(float(v), 0) for v in lab)} (D50/2°)"
