"""`tenter light picture`: a light's spectrum, indices and hues as SVG."""

from pathlib import Path
from typing import Annotated

import typer

from tenter.cli.shared.inputs import errors_said
from tenter.cli.shared.output_files import ReplaceOption, require_place
from tenter.cli.studio.pictures import SvgOption, write_svg

SpectrumArgument = Annotated[
    Path, typer.Argument(metavar="FILE", help="The light's spectrum: CSV, CGATS text (.sp) or IES TM-27.")
]


def picture(
    spectrum: SpectrumArgument,
    out: SvgOption,
    title: Annotated[str, typer.Option("--title", help="The heading; the file's name when left out.")] = "",
    replace: ReplaceOption = False,
) -> None:
    """Draw a light's spectrum beside its reference, R1 to R14, and how it turns and strengthens each hue."""
    with errors_said():
        from tenter.light.light_values import values_of_spectrum
        from tenter.light.spectrum_files import read_lamp_spectrum
        from tenter.report.workshop_pictures.light_picture import light_shown, light_svg

        require_place(out, replace)
        found = read_lamp_spectrum(spectrum)
        shown = light_shown(found, values_of_spectrum(found), title or spectrum.stem)
        write_svg(out, light_svg(shown), shown.told)
