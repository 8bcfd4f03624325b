"""`tenter light report` and `tenter light picture`: a light on paper, and its spectrum with indices and hues drawn."""

from pathlib import Path
from typing import Annotated

import typer

from tenter.cli.shared.card_options import CardValuesOption
from tenter.cli.shared.inputs import JsonOption, MethodOption, errors_said, load_kit
from tenter.cli.shared.output_files import ReplaceOption, require_place
from tenter.cli.shared.paper_options import (
    DateOption,
    LanguageOption,
    PaperOption,
    StudioOption,
    day_or_today,
    papers_in,
)
from tenter.cli.studio.health import tell_written
from tenter.cli.studio.light import (
    BeforeOption,
    KitOfLightOption,
    LuxOption,
    MeterOption,
    PhotoOfLightOption,
    ReadingsOfKitOption,
    SpectrumFile,
    ThresholdsOption,
    WhiteBalanceOption,
    effect_on_kit,
    light_given,
)
from tenter.cli.studio.pictures import DrawingOption, write_picture
from tenter.consultation.conventions.bundled import DEFAULT_METHOD
from tenter.language import SOURCE


def report(
    out: Annotated[Path, typer.Option("--out", help="The PDF to write.")],
    spectrum: SpectrumFile = None,
    meter: MeterOption = "",
    photo: PhotoOfLightOption = None,
    white_balance: WhiteBalanceOption = None,
    lux: LuxOption = "",
    thresholds: ThresholdsOption = None,
    before: BeforeOption = None,
    kit: KitOfLightOption = None,
    readings: ReadingsOfKitOption = None,
    method: MethodOption = DEFAULT_METHOD,
    studio: StudioOption = "",
    date: DateOption = None,
    paper: Annotated[PaperOption, typer.Option("--paper", help="The sheet to print on.")] = PaperOption.A4,
    replace: ReplaceOption = False,
    language: LanguageOption = SOURCE,
    as_json: JsonOption = False,
) -> None:
    """Write a paper on a light: pass or what to correct, the numbers, what it does to the kit and to skin, standards.

    Exit code 0: written, whatever the verdict. 2: the input cannot be used. 3: the photograph was refused.
    """
    with errors_said(), papers_in(language):
        from tenter.light.check import check_light
        from tenter.light.light_drift import light_drift
        from tenter.light.light_values import read_kept_values
        from tenter.light.thresholds import PRACTICE, read_thresholds
        from tenter.report.drawing.paper_size import PaperSize
        from tenter.report.workshop.light_report import ReportedLight, light_report
        from tenter.report.workshop.workshop_paper import write_workshop_paper
        from tenter.report.workshop_pictures.light_picture import light_shown

        require_place(out, replace)
        wanted = PRACTICE if thresholds is None else read_thresholds(thresholds)
        earlier = None if before is None else read_kept_values(before)
        values, power = light_given(spectrum, meter, photo, white_balance, CardValuesOption.MEAN_OF_30, False, lux)
        light = ReportedLight(
            check=check_light(values, wanted),
            changes=() if earlier is None else light_drift(earlier, values, wanted),
            effect=effect_on_kit(power, kit, readings, method),
            kit=None if kit is None else load_kit(kit),
            shown=None if power is None else light_shown(power, values),
        )
        said = light_report(light, day_or_today(date), studio)
        notes = write_workshop_paper(said, out, PaperSize(paper.value))
    tell_written(said, out, notes, as_json)


def picture(
    spectrum: Annotated[
        Path, typer.Argument(metavar="FILE", help="The light's spectrum: CSV, CGATS text (.sp) or IES TM-27.")
    ],
    out: DrawingOption,
    title: Annotated[str, typer.Option("--title", help="The heading; the file's name when left out.")] = "",
    replace: ReplaceOption = False,
    language: LanguageOption = SOURCE,
) -> None:
    """Draw a light's spectrum beside its reference, R1 to R14, and how it turns and strengthens each hue."""
    with errors_said(), papers_in(language):
        from tenter.light.light_values import values_of_spectrum
        from tenter.light.spectrum_files import read_lamp_spectrum
        from tenter.report.workshop_pictures.light_picture import light_shown, light_svg

        require_place(out, replace)
        found = read_lamp_spectrum(spectrum)
        shown = light_shown(found.power, values_of_spectrum(found), title or spectrum.stem)
        write_picture(out, light_svg(shown), shown.told)
