"""A garment's colours as they come: readings, photographs, spectra and names, and what is wrong with them."""

import dataclasses

import numpy as np
import pytest

from studies.scenes.cloth_scene import cloth_reflectances
from tenter.colorimetry.illuminants import WAVELENGTHS_NM, Observer
from tenter.colorimetry.measurement import D65_2, D65_10, Conditions
from tenter.colorimetry.reflectance import reflectance_to_lab
from tenter.consultation.garments.garment import (
    Garment,
    GarmentColour,
    KnownBy,
    from_photo,
    from_reading,
    from_spectrum,
)
from tenter.consultation.garments.given import is_reading, named_garment, parse_reading, read_spectrum
from tenter.errors import TenterError, UnreadableInput
from tests.support.clients.palette_clients import client

MEASURED = cloth_reflectances()[:41]  # the clothes of Vrhel, Gershon and Iwan


def test_another_word_for_a_name_is_that_name():
    _, palette = client("deep winter")
    for word, name in (("navy blue", "navy"), ("Emerald-Green", "emerald"), ("off white", "soft white")):
        one, other = named_garment(word, palette).colours[0], named_garment(name, palette).colours[0]
        assert (one.lab, one.half_width_90) == (other.lab, other.half_width_90)
    block, hue = named_garment("vivid red", palette), named_garment("reddish orange", palette)
    assert hue.colours[0].half_width_90[1] > block.colours[0].half_width_90[1]
    renamed = dataclasses.replace(palette.colours[0], name="Эмеральд green")
    own = dataclasses.replace(palette, colours=(renamed, *palette.colours[1:]))
    assert named_garment("эмеральд-green", own).colours[0].lab == renamed.lab


def test_a_spectrum_and_its_reading_are_one_colour():
    for reflectance in MEASURED[:5]:
        spectrum = from_spectrum(reflectance)
        reading = from_reading(reflectance_to_lab(reflectance, "D65", Observer.CIE_1964_10))
        assert spectrum.colours[0].lab == pytest.approx(reading.colours[0].lab, abs=1e-9)
        assert (spectrum.known_by, reading.known_by) == (KnownBy.SPECTRUM, KnownBy.READING)
        assert reading.colours[0].reflectance is None


@pytest.mark.parametrize(("light", "observer"), [("D65", "2"), ("A", "10"), ("D50", "2")])
def test_a_reading_under_another_light_holds_the_true_colour_in_nine_of_ten(light, observer):
    conditions = Conditions(light, Observer(observer))
    true = reflectance_to_lab(MEASURED, "D65", Observer.CIE_1964_10)
    read = [from_reading(lab, conditions).colours[0] for lab in reflectance_to_lab(MEASURED, light, Observer(observer))]
    inside = np.abs(np.array([c.lab for c in read]) - true) <= np.array([c.half_width_90 for c in read])
    assert (inside.mean(axis=0) >= 0.9).all()


def test_a_reading_that_has_to_be_carried_is_known_less_well():
    direct, observer, lamp = (
        from_reading([50, 10, 10], c).colours[0].half_width_90
        for c in (D65_10, D65_2, Conditions("A", Observer.CIE_1964_10))
    )
    assert (np.array(direct) <= np.array(observer)).all()
    assert (np.array(observer) < np.array(lamp)).all()


def test_a_photograph_keeps_its_interval_and_gives_its_largest_colour_first():
    found = from_photo([[60, 10, 10], [30, 0, -20]], [[3, 3, 3], [5, 5, 5]], [0.3, 0.7])
    assert found.is_print
    assert [c.area for c in found.colours] == [0.7, 0.3]
    assert (np.array(found.colours[0].half_width_90) >= 5).all()
    assert found.known_by is KnownBy.PHOTO


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (lambda: from_reading([120, 0, 0]), "L\\* runs from 0 to 110"),
        (lambda: from_reading([50, 200, 0]), "within ±128"),
        (lambda: from_reading([50, 0]), "three finite numbers"),
        (lambda: from_reading([50, float("nan"), 0]), "three finite numbers"),
        (lambda: from_spectrum([0.5, 2.0] * 40), "factors from 0 to 1"),
        (lambda: from_spectrum(np.full(31, 0.4)), "31 samples came where 81 are needed"),
        (lambda: from_photo([[50, 0, 0]], [[1, 1, 1]], [0.4, 0.6]), "1 intervals and 2 areas"),
        (lambda: Garment(()), "at least one colour"),
        (lambda: Garment((GarmentColour((50, 0, 0), (1, 1, 1), 0.5),)), "add up to 0.50"),
        (lambda: GarmentColour((50, 0, 0), (1, -1, 1)), "at least 0"),
        (lambda: GarmentColour((50, 0, 0), (1, 1, 1), 0.0), "above 0"),
    ],
)
def test_what_no_garment_can_be_is_an_error(make, said):
    with pytest.raises(TenterError, match=said):
        make()


# -- in words and numbers --------------------------------------------------------------------------------------------


@pytest.mark.parametrize("text", ["52,30,14", " 52 , 30 , 14 ", "52.0,+30,14.0"])
def test_a_reading_is_three_numbers(text):
    assert is_reading(text)
    assert parse_reading(text).colours[0].lab == (52.0, 30.0, 14.0)


def test_a_minus_may_be_a_true_one():
    assert parse_reading("52,−30,-14").colours[0].lab == (52.0, -30.0, -14.0)


@pytest.mark.parametrize("text", ["52,30", "52,30,14,1", "52,x,14", "52;30,14,2", "52,,14"])
def test_what_is_no_reading_is_said_with_one_that_is(text):
    with pytest.raises(TenterError, match="as in 52,30,14; got"):
        parse_reading(text)


def test_a_name_is_known_less_well_than_a_reading_and_a_family_less_well_than_a_name():
    _, palette = client("warm spring")
    reading, name, family = from_reading([40, 20, 10]), named_garment("Navy", palette), named_garment("blue", palette)
    first, second, third = (np.array(g.colours[0].half_width_90) for g in (reading, name, family))
    assert (first < second).all()
    assert (second < third).all()
    assert name.known_by is KnownBy.NAME
    assert name.name == "navy"


def test_a_name_of_the_palette_is_the_palettes_colour():
    _, palette = client("deep winter")
    for colour in palette.colours:
        assert named_garment(colour.name.upper(), palette).colours[0].lab == colour.lab
    red = next(c for c in palette.colours if c.title == "your red")
    assert named_garment("your red", palette).colours[0].lab == red.lab


def test_a_word_before_a_name_moves_its_colour_that_way():
    _, palette = client("deep winter")
    plain, light, soft = (named_garment(n, palette).colours[0].lab for n in ("petrol", "light petrol", "soft petrol"))
    assert light[0] > plain[0]
    assert np.hypot(*soft[1:]) < np.hypot(*plain[1:])


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ("nude", "whatever skin it was made for. Give the shade"),
        ("rose gold", "a metal can't be judged by one colour value. Hold it on"),
        ("black/white stripes", "give each of its colours by itself"),
        ("Dunkelblau", "Give a photograph, a reading such as 52,30,14, or an English colour name"),
        ("bleu marine", "Give a photograph, a reading such as 52,30,14, or an English colour name"),
        (" ", "no garment was given. Give a photograph"),
    ],
)
def test_what_is_no_colour_name_is_said_with_what_would_do(said, why):
    _, palette = client("deep winter")
    with pytest.raises(TenterError, match=why):
        named_garment(said, palette)


def test_greys_are_carried_to_the_other_observer_better_than_colours():
    grey, strong = (from_photo([lab], [[1.0, 1.0, 1.0]]).colours[0].half_width_90 for lab in ([50, 1, 1], [50, 30, 10]))
    assert (np.array(grey) < np.array(strong)).all()


def test_an_unknown_name_is_said_with_names_that_are_alike():
    _, palette = client("deep winter")
    with pytest.raises(TenterError, match="no colour 'royal pain' is known; names that are known: royal blue"):
        named_garment("royal pain", palette)
    with pytest.raises(TenterError, match="such as coral, navy"):
        named_garment("blurple", palette)


def test_a_spectrum_is_read_from_a_file(tmp_path):
    path = tmp_path / "coat.csv"
    rows = "\n".join(f"{nm:g},{factor:.6f}" for nm, factor in zip(WAVELENGTHS_NM, MEASURED[7], strict=True))
    path.write_text(f"nm,reflectance\n{rows}\n", encoding="utf-8")
    found = read_spectrum(path)
    assert found.name == "coat"
    assert found.colours[0].lab == pytest.approx(from_spectrum(MEASURED[7]).colours[0].lab, abs=1e-3)


@pytest.mark.parametrize(
    "line",
    [
        lambda nm, factor: f"{nm:g};{factor:.6f}".replace(".", ","),
        lambda nm, factor: f"{nm:g}\t{100 * factor:.6f}",
        lambda nm, factor: f"{1160 - nm:g},{MEASURED[7][::-1][int(nm - 380) // 5]:.6f}",  # the longest first
    ],
)
def test_a_spectrum_is_read_as_programs_write_it(tmp_path, line):
    path = tmp_path / "coat.csv"
    rows = (line(nm, factor) for nm, factor in zip(WAVELENGTHS_NM, MEASURED[7], strict=True))
    path.write_text("\n".join(rows), encoding="utf-8")
    assert read_spectrum(path).colours[0].lab == pytest.approx(from_spectrum(MEASURED[7]).colours[0].lab, abs=1e-3)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("nm,reflectance\n400,0.5\n", "covers 400 to 400 nm; it has to cover 400 to 700 nm"),
        ("\n".join(f"{nm},0.5" for nm in range(410, 731, 10)), "covers 410 to 730 nm"),
        ("\n".join(f"{nm},0.5" for nm in range(400, 701, 30)), "steps of 30 nm"),
        ("\n".join(f"{nm},1.7" for nm in range(400, 701, 10)), "factors from 0 to 1"),
        ("\n".join(f"{nm},{-0.1 if nm == 450 else 0.5}" for nm in range(400, 701, 10)), "at 450 nm"),
        ("\n".join(f"{nm},0.5" for nm in range(500, 701, 10)), "covers 500 to 700 nm"),
        ("a spectrum", "no line holds a wavelength and a reflectance"),
        ("\n".join(f"{nm},{'9' * 400 if nm == 450 else 0.5}" for nm in range(400, 701, 10)), "at 450 nm"),
    ],
)
def test_a_file_that_is_no_spectrum_is_named_with_what_one_is(tmp_path, text, said):
    path = tmp_path / "coat.csv"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(UnreadableInput, match=said) as caught:
        read_spectrum(path)
    assert "a CSV of wavelength in nm and reflectance" in str(caught.value)


def test_a_row_of_a_spectrum_that_is_no_pair_is_named_and_nothing_is_read(tmp_path):
    path = tmp_path / "coat.csv"
    path.write_text("\n".join(f"{nm},{'?' if nm == 450 else 0.5}" for nm in range(400, 701, 10)), encoding="utf-8")
    with pytest.raises(UnreadableInput, match=r"row 6, column 2: '\?' is not a number"):
        read_spectrum(path)
