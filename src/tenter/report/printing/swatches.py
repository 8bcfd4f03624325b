"""What is printed of each colour of a palette: the code that is sent, the words behind it, and what must be said."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from tenter.arrays import FloatArray
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.measurement import D65_2, Colours
from tenter.colorimetry.spaces import srgb_to_lab
from tenter.consultation.colours.colours import PaletteColour, PersonalPalette
from tenter.language import N_, _, in_a_row
from tenter.report.printing.print_correction import PrintCorrection
from tenter.report.printing.printer_profile import PrinterProfile
from tenter.report.printing.proof_words import miss_mark
from tenter.report.printing.soft_proof import SoftProof, soft_proofs
from tenter.report.words import terms
from tenter.report.words.palette_words import basis_words, colours_to, part_words
from tenter.report.words.plain_text import one_line

OUTSIDE_SRGB = N_("≠ print differs")


@dataclass(frozen=True, slots=True)
class PrintSwatch:
    """One swatch.

    hex: what is sent to the printer, '#rrggbb'. mark: empty, or that it is not printed true, with a sign.
    """

    name: str
    title: str
    part: str
    basis: str
    hex: str
    mark: str

    @property
    def spoken(self) -> str:
        """What a reader who hears the sheet is told of the swatch, as in 'Swatch: navy, your navy, neutral'."""
        swatch = _("Swatch: {colour}", colour=self.name)
        return in_a_row([part for part in (swatch, self.title, self.part, self.mark.removeprefix("≠ ")) if part])


def palette_rows(palette: PersonalPalette) -> tuple[PaletteColour, ...]:
    """Return the colours that are printed, in order; raises `TenterError` where the palette has none.

    Metals are not: a flat grey is no silver.
    """
    return colours_to(_("print"), replace(palette, metals=()))


def palette_screen_lab(palette: PersonalPalette) -> FloatArray:
    """Return Lab (n, 3) under D65/2° of `palette_rows`, which is what files for screens and printers speak of.

    Raises `TenterError` where the palette has none.
    """
    return Colours(np.array([row.lab for row in palette_rows(palette)]), palette.conditions).under(D65_2).lab


def sent_colours(palette: PersonalPalette) -> tuple[list[str], FloatArray, list[bool]]:
    """Return what a file says of `palette_rows`: '#rrggbb', its Lab (n, 3) D65/2°, and whether sRGB has the colour."""
    codes, inside = Colours(palette_screen_lab(palette), D65_2).on_screen()
    return codes, lab_of_codes(codes), inside


def lab_of_codes(codes: Sequence[str]) -> FloatArray:
    """Return Lab (n, 3) D65/2° of '#rrggbb'."""
    return srgb_to_lab(np.array([list(bytes.fromhex(code[1:])) for code in codes]) / 255)


def palette_proofs(palette: PersonalPalette, profile: PrinterProfile) -> tuple[SoftProof, ...]:
    """Return what a printer makes of `palette_rows` when it is sent a file of sRGB."""
    return soft_proofs(profile, palette_screen_lab(palette), sent_colours(palette)[1])


def print_swatches(palette: PersonalPalette, proofs: Sequence[SoftProof] = ()) -> tuple[PrintSwatch, ...]:
    """Return the swatches of a palette as sRGB says them, and mark those that the print will not show as they are.

    proofs: of `palette_proofs`, where the printer's profile is known; otherwise what sRGB does not have is marked.
    """
    codes, _labs, inside = sent_colours(palette)
    marks = [miss_mark(p.asked, p.printed) for p in proofs] or ["" if fits else _(OUTSIDE_SRGB) for fits in inside]
    return _swatches(palette, codes, marks)


def corrected_swatches(palette: PersonalPalette, correction: PrintCorrection) -> tuple[PrintSwatch, ...]:
    """Return the swatches of a palette as a printer is sent them by what was learned of it.

    Marked are those that it is expected to miss all the same.
    """
    asked = palette_screen_lab(palette)
    codes, _remaining = correction.to_send(asked)
    printed = correction.printed(lab_of_codes(codes))
    return _swatches(palette, codes, [miss_mark(*pair) for pair in zip(asked, printed, strict=True)])


def corrected_misses(
    palette: PersonalPalette, swatches: Sequence[PrintSwatch], correction: PrintCorrection
) -> FloatArray:
    """Return the ΔE00 (n,) by which swatches, as a correction sends them, are expected to miss their colours."""
    printed = correction.printed(lab_of_codes([swatch.hex for swatch in swatches]))
    return delta_e_2000(printed, palette_screen_lab(palette))


def _swatches(palette: PersonalPalette, codes: Sequence[str], marks: Sequence[str]) -> tuple[PrintSwatch, ...]:
    return tuple(_swatch(*row) for row in zip(palette_rows(palette), codes, marks, strict=True))


def _swatch(row: PaletteColour, code: str, mark: str) -> PrintSwatch:
    return PrintSwatch(
        name=one_line(terms.colour(row.name)),
        title=one_line(terms.title(row.title)),
        part=part_words(row),
        basis=basis_words(row),
        hex=code,
        mark=mark,
    )
