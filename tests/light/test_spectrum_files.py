"""Spectra of lamps from files: as meters and programs write them, and as they are when they are broken."""

import warnings

import pytest
from numpy.testing import assert_allclose

from tenter.colorimetry.illuminants import illuminant_power
from tenter.errors import UnreadableInput
from tenter.light.spectrum_files import parse_spectrum_csv, read_lamp_spectrum
from tests.light.lamp_files import as_csv, as_sp, as_tm27, lamp_pairs

PAIRS = lamp_pairs("FL2")
BOMB = (
    '<?xml version="1.0"?><!DOCTYPE IESTM2714 [<!ENTITY a "lol"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">]>'
    "<IESTM2714><Header>&b;</Header></IESTM2714>"
)
FETCHES = (
    '<?xml version="1.0"?><!DOCTYPE IESTM2714 [<!ENTITY a SYSTEM "file:///etc/hostname">]>'
    "<IESTM2714><Header>&a;</Header></IESTM2714>"
)


@pytest.fixture
def written(tmp_path):
    def write(text, name="lamp.csv", encoding="utf-8"):
        path = tmp_path / name
        path.write_bytes(text.encode(encoding))
        return path

    return write


@pytest.mark.parametrize(
    ("text", "name", "encoding"),
    [
        (as_csv(PAIRS), "lamp.csv", "utf-8"),
        (as_csv(PAIRS, ";", ","), "lamp.csv", "utf-8-sig"),
        (as_csv(PAIRS, "\t", ","), "lamp.txt", "utf-8"),
        (as_csv(PAIRS, " ", head="# spectrum of a lamp"), "lamp.txt", "utf-8"),
        (as_csv(PAIRS, ";", head="Meter;M-1\nDate;2026-11-30\nnm;mW/m2/nm").replace("\n", "\r\n"), "lamp.csv", "utf-8"),
        (as_sp(PAIRS), "lamp.sp", "utf-8"),
        (as_tm27(PAIRS), "lamp.spdx", "utf-8"),
        (as_tm27(PAIRS), "lamp.xml", "utf-8-sig"),
    ],
    ids=["commas", "semicolons", "tabs", "spaces", "headings", "sp", "tm-27", "tm-27 with a mark"],
)
def test_every_format_gives_the_same_spectrum(written, text, name, encoding):
    found = read_lamp_spectrum(written(text, name, encoding))
    assert_allclose(found.power, illuminant_power("FL2"), rtol=1e-5)
    assert found.source.endswith(name)


def test_a_tm27_file_of_another_program_is_read(tmp_path):
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of what colour-science could not find
        from colour.io import tm2714  # noqa: PLC0415  # slow, and only this test needs it
    path = tmp_path / "lamp.spdx"
    theirs = tm2714.SpectralDistribution_IESTM2714(
        str(path), data=dict(PAIRS), header=tm2714.Header_IESTM2714(), spectral_quantity="irradiance",
        reflection_geometry="other", transmission_geometry="other", bandwidth_FWHM=5.0, bandwidth_corrected=True,
    )  # fmt: skip
    theirs.write()
    found = read_lamp_spectrum(path)
    assert_allclose(found.power, illuminant_power("FL2"), rtol=1e-12)
    assert found.lux > 0


def test_irradiance_in_a_tm27_file_gives_lux(written):
    assert read_lamp_spectrum(written(as_tm27(PAIRS, "irradiance"), "lamp.xml")).lux > 0
    assert read_lamp_spectrum(written(as_tm27(PAIRS), "lamp.xml")).lux is None


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "no line holds a wavelength and a power"),
        ("nothing here\nat all\n", "no line holds"),
        (as_csv(PAIRS[:40]), "has to cover 400 to 700 nm"),
        (as_csv([(nm, -value) for nm, value in PAIRS]), "no light in it"),
        (as_csv(PAIRS).replace("\n500,", "\n500,?"), r"row 26, column 2: '\?.*' is not a number"),
        (as_csv(PAIRS).replace("\n500,", "\n500,1,"), "row 26, column 3: 3 cells came"),
        (as_csv(PAIRS, ",", ","), "cells came where two are wanted"),
        (as_csv([*PAIRS, (500.0, 1.0)]), "do not rise"),
        (as_csv(PAIRS) + "\0", "NUL"),
        (as_sp(PAIRS)[:-40], "breaks off"),
        (as_sp(PAIRS).replace("SPEC_", "LAB_"), "no table in it has spectral fields"),
        (as_tm27(PAIRS)[:900], "breaks off"),
        (as_tm27(PAIRS, "reflectance"), "no light's power"),
        (as_tm27([]), "no SpectralData"),
        (as_tm27(PAIRS).replace('wavelength="500"', 'wavelength="x"'), "row 25, column SpectralData"),
        ("<html><body>504</body></html>", "XML of another kind"),
        (BOMB, "document type"),
        (FETCHES, "document type"),
    ],
)
def test_a_faulty_file_is_refused_with_its_place_and_what_to_do(written, text, said):
    with pytest.raises(UnreadableInput, match=said) as caught:
        read_lamp_spectrum(written(text))
    assert caught.value.remedy
    assert "lamp.csv" in str(caught.value)


def test_a_file_of_several_spectra_is_not_guessed_at(written):
    two = as_sp(PAIRS)
    values = two.split("BEGIN_DATA\n")[1].split("\n")[0]
    two = two.replace("NUMBER_OF_SETS 1", "NUMBER_OF_SETS 2").replace(values, f"{values}\n{values}")
    with pytest.raises(UnreadableInput, match="2 spectra where one is wanted"):
        read_lamp_spectrum(written(two, "lamp.sp"))


def test_no_file_and_no_text_are_said(tmp_path):
    with pytest.raises(UnreadableInput, match="no such file"):
        read_lamp_spectrum(tmp_path / "nothing.csv")
    (tmp_path / "lamp.csv").write_bytes(b"380,1\n\xfc")
    with pytest.raises(UnreadableInput, match="UTF-8"):
        read_lamp_spectrum(tmp_path / "lamp.csv")


@pytest.mark.parametrize("encoding", ["utf-16", "utf-8-sig"])
@pytest.mark.parametrize("write", [as_csv, as_sp])
def test_a_spectrum_in_utf_16_is_that_in_utf_8(written, write, encoding):
    same = read_lamp_spectrum(written(write(PAIRS), "plain.txt"))
    marked = read_lamp_spectrum(written(write(PAIRS), "marked.txt", encoding))
    assert_allclose(marked.power, same.power, rtol=1e-12)


def test_every_fault_of_a_table_is_named_at_once():
    text = as_csv(PAIRS).replace("\n500,", "\n500,?").replace("\n600,", "\nx600,")
    with pytest.raises(UnreadableInput, match=r"row 26, column 2.*row 46, column 1"):
        parse_spectrum_csv(text, "lamp.csv")
