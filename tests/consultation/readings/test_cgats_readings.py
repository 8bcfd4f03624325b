"""CGATS.17 and its kin: our own export comes back, files as general-purpose tools write them are read, cut ones not."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from tenter.colorimetry.measurement import D65_2, D65_10, Conditions
from tenter.consultation.readings.cgats import parse_cgats
from tenter.consultation.readings.cloth_reading import GivenAs, Ultraviolet, labs_under
from tenter.errors import UnreadableInput
from tenter.report.exports.formats import Format, exported
from tests.support.clients.odd_palette import odd_palette
from tests.support.readings_given import DAY, parsed

BANDS = range(380, 731, 10)
FACTORS = [20.0 + 0.1 * (nm - 380) for nm in BANDS]


def ti3(rows=2, instrument="X-Own Spectro", head="CTI3   \n"):
    fields = ["SAMPLE_ID", "RGB_R", "RGB_G", "RGB_B", "XYZ_X", "XYZ_Y", "XYZ_Z", *(f"SPEC_{nm}" for nm in BANDS)]
    lines = [
        head,
        'DESCRIPTOR "Argyll Calibration Target chart information 3"',
        'ORIGINATOR "Argyll chartread"',
        'CREATED "Thu Nov 27 10:11:12 2026"',
        'KEYWORD "DEVICE_CLASS"\nDEVICE_CLASS "INPUT"',
        f'KEYWORD "TARGET_INSTRUMENT"\nTARGET_INSTRUMENT "{instrument}"',
        'KEYWORD "SPECTRAL_BANDS"\nSPECTRAL_BANDS "36"',
        'KEYWORD "SPECTRAL_NORM"\nSPECTRAL_NORM "100.000000"',
        f"NUMBER_OF_FIELDS {len(fields)}\nBEGIN_DATA_FORMAT\n{' '.join(fields)}\nEND_DATA_FORMAT",
        f"NUMBER_OF_SETS {rows}\nBEGIN_DATA",
        *(f"D00{k} 0.0 0.0 0.0 30 30 25 {' '.join(f'{v:.3f}' for v in FACTORS)}" for k in range(1, rows + 1)),
        "END_DATA\n",
    ]
    return "\n".join(lines)


def sp(kind="REFLECTIVE"):
    body = "\n".join([" ".join(f"SPEC_{nm}" for nm in BANDS), "END_DATA_FORMAT", "NUMBER_OF_SETS 1", "BEGIN_DATA"])
    return (
        f'SPECT  \n\nORIGINATOR "Argyll CMS"\nCREATED "Tue Apr 09 05:45:37 2019"\nMEAS_TYPE "{kind}"\n'
        f'SPECTRAL_NORM "100.000000"\nNUMBER_OF_FIELDS 36\nBEGIN_DATA_FORMAT\n{body}\n'
        f"{' '.join(f'{v:.3f}' for v in FACTORS)}\nEND_DATA\n"
    )


def table(rows, fields="SAMPLE_ID SAMPLE_NAME LAB_L LAB_A LAB_B", head="", sets=None):
    said = f"NUMBER_OF_SETS {len(rows) if sets is None else sets}\n"
    return (
        f"CGATS.17\n{head}NUMBER_OF_FIELDS {len(fields.split())}\nBEGIN_DATA_FORMAT\n{fields}\nEND_DATA_FORMAT\n"
        f"{said}BEGIN_DATA\n{chr(10).join(rows)}\nEND_DATA\n"
    )


def test_our_own_export_comes_back():
    palette = odd_palette()
    found = parsed(exported(palette, Format.CGATS, "a title", "2026-11-28")).readings
    rows = (*palette.colours, *palette.metals, *palette.borrowed, *palette.staples)
    assert [one.cloth for one in found] == [" ".join(row.name.split()) for row in rows]
    assert_allclose([one.lab for one in found], [row.lab for row in rows], atol=1e-5)
    assert {one.conditions for one in found} == {palette.conditions}
    assert {one.day for one in found} == {"2026-11-28"}


def test_a_ti3_is_read_as_spectra_in_percent():
    found = parsed(ti3())
    assert [one.cloth for one in found.readings] == ["D001", "D002"]
    assert {(one.given_as, one.day) for one in found.readings} == {(GivenAs.SPECTRUM, "2026-11-27")}
    assert found.readings[0].how.instrument == "X-Own Spectro"
    assert_allclose(found.readings[0].reflectance[0:3:2], [0.200, 0.210])
    assert found.readings[0].conditions == Conditions("D50", "2")
    assert found.remarks == ()


def test_a_ti3_without_spectra_is_xyz_for_d50():
    text = table(["D001 48.2115 50.0 41.2553"], "SAMPLE_ID XYZ_X XYZ_Y XYZ_Z").replace("CGATS.17", "CTI3")
    [one] = parsed(text).readings
    assert one.conditions == Conditions("D50", "2")
    # CIE 15:2018, 8.2.1: 116 (1/2)^(1/3) - 16 = 76.0693; a half of D50's white (96.42, 100, 82.51) is a grey
    assert_allclose(one.lab, (76.0693, 0, 0), atol=0.05)


def test_an_sp_is_one_spectrum_of_the_cloth_it_is_named_for():
    [one] = parsed(sp(), cloth="D007").readings
    assert (one.cloth, one.day, one.given_as) == ("D007", "2019-04-09", GivenAs.SPECTRUM)
    assert_allclose(labs_under([one], D65_10), [one.lab])


@pytest.mark.parametrize(
    ("head", "fields", "row", "lab"),
    [
        ("", "SAMPLE_ID LAB_L LAB_C LAB_H", "A 50 10 90", (50, 0, 10)),
        ("", "SAMPLE_NAME LAB_L LAB_A LAB_B", '"two words" 50 1 2', (50, 1, 2)),
        ("# a remark\n", "SAMPLE_ID LAB_L LAB_A LAB_B CMYK_C", "A 50 1 2 100 # another", (50, 1, 2)),
    ],
)
def test_lab_and_lch_fields_are_read(head, fields, row, lab):
    assert_allclose(parsed(table([row], fields, head), D65_10).readings[0].lab, lab, atol=1e-9)


@pytest.mark.parametrize(
    "name", ["SPECTRAL_NM400", "SPECTRAL_DEC_400", "nm400", "SPEC_400", "R_400", "SPECTRAL_PCT400"]
)
def test_spectral_fields_have_many_names(name):
    names = [name.replace("400", str(nm)) for nm in range(400, 701, 10)]
    factor = "0.25" if "DEC" in name else "25"
    [one] = parsed(table([f"A {' '.join([factor] * 31)}"], f"SAMPLE_ID {' '.join(names)}")).readings
    assert set(one.reflectance) == {0.25}


@pytest.mark.parametrize(
    ("head", "light"),
    [
        ('WEIGHTING_FUNCTION "ILLUMINANT, D65"\nWEIGHTING_FUNCTION "OBSERVER, 2 degree"\n', D65_2),
        ('ILLUMINATION_NAME "D65"\nOBSERVER_ANGLE "10"\n', D65_10),
        ('ILLUMINANT "F11"\nOBSERVER "2 Degree"\n', Conditions("FL11", "2")),
        ("", D65_10),
    ],
)
def test_the_light_is_as_the_file_states_it(head, light):
    assert parsed(table(["1 A 50 1 2"], head=head), D65_10).readings[0].conditions == light


@pytest.mark.parametrize(
    ("head", "uv"),
    [
        ('FILTER "UV-cut"\n', Ultraviolet.WITHOUT),
        ('MEASUREMENT_CONDITION "M2"\n', Ultraviolet.WITHOUT),
        ('MEASUREMENT_CONDITION "M1"\n', Ultraviolet.WITH),
        ('MEASUREMENT_CONDITION "M0"\n', Ultraviolet.UNKNOWN),
        ("", Ultraviolet.UNKNOWN),
    ],
)
def test_ultraviolet_is_as_the_file_states_it(head, uv):
    assert parsed(table(["1 A 50 1 2"], head=head), D65_10).readings[0].how.uv is uv


def test_backing_instrument_and_day_come_from_keywords_and_an_unclear_day_is_said():
    head = 'INSTRUMENTATION "own"\nSAMPLE_BACKING "white tile"\nCREATED "11/12/2026"\n'
    found = parsed(table(["1 A 50 1 2"], head=head), D65_10)
    assert (found.readings[0].how.instrument, found.readings[0].how.backing) == ("own", "white tile")
    assert found.readings[0].day == DAY
    assert found.remarks == (f"The file's date '11/12/2026' was not understood, so the readings have {DAY}.",)


def test_several_readings_of_a_cloth_have_its_name_and_ids_of_their_own():
    found = parsed(table(["1 A 50 1 2", "2 A 51 1 2"]), D65_10).readings
    assert [one.cloth for one in found] == ["A", "A"]
    with pytest.raises(UnreadableInput, match="column id: '1' is in row 8 already"):
        parsed(table(["1 A 50 1 2", "1 A 51 1 2"]), D65_10)


def test_a_row_over_two_lines_is_read_where_the_number_of_rows_is_stated():
    assert parsed(table(["1 A 50", "1 2"], sets=1), D65_10).readings[0].lab == (50, 1, 2)


def test_letters_of_an_older_program_are_read():
    content = table(['1 "Grün" 50 1 2']).encode("latin-1")
    assert parsed(content, D65_10).readings[0].cloth == "Grün"


def test_a_second_table_without_colours_is_passed_over():
    more = "CAL\nBEGIN_DATA_FORMAT\nRGB_I RGB_R\nEND_DATA_FORMAT\nBEGIN_DATA\n0 0\nEND_DATA\n"
    text = table(["1 A 50 1 2"]) + more
    assert len(parse_cgats(text, "x")) == 2
    assert len(parsed(text, D65_10).readings) == 1


SOUND = table(["1 A 50 1 2", "2 B 51 1 2"])


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (SOUND.replace("END_DATA\n", ""), "the file breaks off: row 7 begins what no END_DATA ends"),
        (SOUND[: SOUND.index("BEGIN_DATA\n")], "breaks off before the rows"),
        (SOUND[: SOUND.index("END_DATA_FORMAT")], "breaks off"),
        (SOUND.replace("2 B 51 1 2\n", "2 B 51\n"), "row 9, column 4: 3 cells came where there are 5 fields"),
        (SOUND.replace("2 B 51 1 2\n", ""), "says that it has 2 rows and has 1; it was cut off"),
        (SOUND.replace("LAB_B", "LAB_A"), "field named twice: LAB_A"),
        (SOUND.replace("LAB_", "OWN_"), "no table in it gives a colour"),
        (SOUND.replace("51 1", "151 1"), r"row 9, column L: L\* is a finite number from 0 to 115; got 151"),
        (SOUND + SOUND, "more than one table gives colours"),
        (ti3().replace("20.000", "-0.1"), "the reflectance at 380 nm is a finite number from 0 to 2; got -0.001"),
        (sp("EMISSION"), "these are measurements of the type EMISSION, not of a cloth"),
        (ti3().replace("INPUT", "DISPLAY"), "these are measurements of a display"),
        (sp().replace('"100.000000"', '"white"'), "SPECTRAL_NORM"),
        (sp().replace("SPEC_7", "OTHER_7"), "covers 380 to 690 nm; it has to cover 400 to 700 nm"),
        ("CGATS.17\n", "no table in it"),
        (sp().replace("SPEC_390", "nm400"), "two fields give the spectrum at one wavelength"),
        (table(["1 A 50 1 2"], head='ILLUMINANT "D66"\nOBSERVER "2"\n'), "no illuminant is called 'D66'"),
    ],
)  # fmt: skip
def test_a_cut_or_faulty_file_is_refused_in_words(text, said):
    with pytest.raises(UnreadableInput, match=said):
        parsed(text, D65_10, cloth="D007")


def test_wherever_a_file_is_cut_it_is_refused():
    text = ti3()
    for length in range(0, len(text) - len("END_DATA\n"), 97):
        with pytest.raises(UnreadableInput):
            parsed(text[:length])


def test_values_do_not_hang_on_the_order_of_fields():
    turned = table(["2 1 50 A 1"], "LAB_B LAB_A LAB_L SAMPLE_NAME SAMPLE_ID")
    assert np.array_equal(parsed(turned, D65_10).readings[0].lab, (50, 1, 2))
