"""`tenter light`: is the light good for draping, and what does it do to the kit and to skin."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from tenter.cli.shared.card_options import CalledEven, CardValuesOption, ChartOption, ValuesChoice, card_choice
from tenter.cli.shared.inputs import JsonOption, MethodOption, errors_said, load_kit, load_method, print_json
from tenter.consultation.conventions.bundled import DEFAULT_METHOD
from tenter.errors import Refused, TenterError
from tenter.numerals import listed

if TYPE_CHECKING:
    from tenter.arrays import FloatArray
    from tenter.light.check import LightCheck
    from tenter.light.light_drift import LightChange
    from tenter.light.light_values import LightValues
    from tenter.light.on_kit import LightOnKit

app = typer.Typer(help="The light that you drape in.", no_args_is_help=True)


SpectrumFile = Annotated[
    Path | None, typer.Argument(metavar="[FILE]", help="The light's spectrum: CSV, CGATS text (.sp) or IES TM-27.")
]
MeterOption = Annotated[
    str, typer.Option("--meter", help='What a meter shows, as in "cct=5600,duv=0.001,ra=97,r9=90".')
]
PhotoOfLightOption = Annotated[
    Path | None, typer.Option("--photo", help="A photograph of the classic colour card in this light.")
]
WhiteBalanceOption = Annotated[
    float | None,
    typer.Option("--white-balance", help="Of the photograph: the kelvin that the camera's white balance was fixed at."),
]
LuxOption = Annotated[
    str,
    typer.Option(
        "--lux", help='On the face: "1200", or "forehead=1200,cheek_left=1150,cheek_right=1180,nose=…,chin=…".'
    ),
]
ThresholdsOption = Annotated[
    Path | None, typer.Option("--thresholds", help="Your own thresholds as TOML, such as least_lux = 1200.")
]
BeforeOption = Annotated[Path | None, typer.Option("--before", help="The JSON of an earlier check, to compare with.")]
KitOfLightOption = Annotated[
    Path | None, typer.Option("--kit", help="Cloths as drapes.csv: also say what this light does to them and to skin.")
]
ReadingsOfKitOption = Annotated[
    Path | None, typer.Option("--readings", help="The kit's book of readings, for the spectra that were measured.")
]


@app.command()
def check(
    spectrum: SpectrumFile = None,
    meter: MeterOption = "",
    photo: PhotoOfLightOption = None,
    white_balance: WhiteBalanceOption = None,
    card_values: ValuesChoice = CardValuesOption.MEAN_OF_30,
    card_is_evenly_lit: CalledEven = False,
    lux: LuxOption = "",
    thresholds: ThresholdsOption = None,
    before: BeforeOption = None,
    kit: KitOfLightOption = None,
    readings: ReadingsOfKitOption = None,
    method: MethodOption = DEFAULT_METHOD,
    as_json: JsonOption = False,
) -> None:
    """Say whether a light is good for draping, and if not, what to do.

    Give a spectrum, --meter or --photo. Exit code 0: said, whatever the verdict. 2: the input cannot be used. 3: the
    photograph was refused.
    """
    with errors_said():
        from tenter.light.check import check_light
        from tenter.light.light_drift import light_drift
        from tenter.light.light_values import read_kept_values
        from tenter.light.thresholds import PRACTICE, read_thresholds

        wanted = PRACTICE if thresholds is None else read_thresholds(thresholds)
        earlier = None if before is None else read_kept_values(before)
        values, power = light_given(spectrum, meter, photo, white_balance, card_values, card_is_evenly_lit, lux)
        done = check_light(values, wanted)
        changes = () if earlier is None else light_drift(earlier, values, wanted)
        effect = effect_on_kit(power, kit, readings, method)
    if as_json:
        print_json(_document(done, changes, effect))
    else:
        _print(done, changes, effect)


def light_given(
    spectrum: Path | None,
    meter: str,
    photo: Path | None,
    white_balance: float | None,
    card_values: CardValuesOption,
    evenly_lit: bool,
    lux: str,
) -> "tuple[LightValues, FloatArray | None]":
    """Return the light that was given, and its power (81,) where a spectrum was.

    white_balance: in kelvin.

    Raises
    ------
    TenterError
        If none or several were given, or a white balance without a photograph.
    Refused
        If the photograph cannot be read.
    """
    from tenter.light.face_lux import face_lux_from
    from tenter.light.light_values import meter_values_from, values_of_spectrum
    from tenter.light.spectrum_files import read_lamp_spectrum

    given = [name for name, value in (("a spectrum", spectrum), ("--meter", meter), ("--photo", photo)) if value]
    if len(given) != 1:
        came = f"{listed(given)} were given together" if given else "no light was given"
        raise TenterError(f"{came}; give a spectrum's file, --meter or --photo")
    if white_balance is not None and photo is None:
        raise TenterError("--white-balance belongs to a photograph; leave it out, or give --photo")
    face = face_lux_from(lux) if lux else None
    if spectrum is not None:
        found = read_lamp_spectrum(spectrum)
        return values_of_spectrum(found).with_face(face), found.power
    if photo is not None:
        return _photographed(photo, white_balance, card_values, evenly_lit).with_face(face), None
    return meter_values_from(meter).with_face(face), None


def _photographed(
    photo: Path, white_balance: float | None, card_values: CardValuesOption, evenly_lit: bool
) -> "LightValues":
    from tenter.light.photographed_light import values_of_photograph
    from tenter.photo.card.lamp_seen import lamp_seen
    from tenter.photo.cards import look_for_card
    from tenter.photo.files.loading import load_photo

    choice = card_choice(ChartOption.CLASSIC24, card_values, 18.0, None, None, evenly_lit)
    found = look_for_card(load_photo(photo), choice)
    if found.calibration is None or any(reason.refuses for reason in found.reasons):
        why = " ".join(reason.text for reason in found.reasons if reason.refuses)
        raise Refused(f"{photo}: {why or 'there is no card to read in it.'}")
    seen = lamp_seen(found.calibration)
    return values_of_photograph(seen.lamps, seen.poor, seen.white_xyz, seen.across_card, str(photo), white_balance)


def effect_on_kit(
    power: "FloatArray | None", kit: Path | None, readings: Path | None, method: str
) -> "LightOnKit | None":
    """Return what a light of some power (81,) does to a kit, where one was given.

    Raises
    ------
    TenterError
        If a kit was given without a spectrum, or readings without a kit.
    """
    if kit is None:
        if readings is not None:
            raise TenterError("--readings are of a kit; give --kit as well")
        return None
    if power is None:
        raise TenterError("what a light does to a kit takes its spectrum; give a file, or leave --kit out")
    from tenter.consultation.readings.book import read_book
    from tenter.consultation.readings.measured_spectra import measured_spectra
    from tenter.consultation.readings.summary import brightened_cloths
    from tenter.light.on_kit import light_on_kit

    cloths = load_kit(kit)
    known = () if readings is None else read_book(readings).readings
    return light_on_kit(power, cloths, load_method(method), measured_spectra(known, cloths), brightened_cloths(known))


def _document(done: "LightCheck", changes: "tuple[LightChange, ...]", effect: "LightOnKit | None") -> dict[str, object]:
    from dataclasses import asdict

    return {
        **done.to_json(),
        "thresholds": asdict(done.thresholds),
        "changes": [asdict(change) for change in changes],
        "on_kit": None if effect is None else {**asdict(effect), "caveat": " ".join(effect.caveats)},
    }


def _print(done: "LightCheck", changes: "tuple[LightChange, ...]", effect: "LightOnKit | None") -> None:
    from rich.console import Console

    from tenter.report.on_screen.light_words import light_parts

    console = Console(highlight=False, soft_wrap=True)
    console.print(f"[bold]{done.headline}[/bold]")
    for heading, lines in light_parts(done, changes, effect):
        console.print(f"\n{heading}", markup=False)
        for line in lines:
            console.print(f"  {line}", markup=False)
