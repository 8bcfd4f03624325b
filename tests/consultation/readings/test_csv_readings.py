"""Readings in a CSV as spreadsheets and instruments write it; every fault is named, and a bad file gives nothing."""

import csv
from pathlib import Path

import numpy as np
import pytest
from numpy.testing import assert_allclose

from tenter import Kit
from tenter.colorimetry.illuminants import white_point
from tenter.colorimetry.measurement import D65_2, D65_10, Conditions
from tenter.consultation.readings.cloth_reading import ConversionBasis, GivenAs, Ultraviolet, labs_under
from tenter.errors import TenterError, UnreadableInput
from tests.support.readings_given import DAY, parsed

DEMO = Path(__file__).parents[2] / "data" / "demo_studio"
SPECTRA = DEMO / "drape_reflectances_400-700nm_10nm.csv"
PLAIN = "cloth,L,a,b,illuminant,observer\nD001,50,20,10,D65,10\nD002,60,-5,7.5,D65,10\n"


def labs(found):
    return [one.lab for one in found.readings]


def test_plain_rows_are_readings():
    found = parsed(PLAIN)
    assert [one.cloth for one in found.readings] == ["D001", "D002"]
    assert labs(found) == [(50, 20, 10), (60, -5, 7.5)]
    assert {one.conditions for one in found.readings} == {D65_10}
    assert [(one.source, one.row, one.day) for one in found.readings] == [("new.csv", 2, DAY), ("new.csv", 3, DAY)]
    assert found.remarks == ()


@pytest.mark.parametrize(
    "text",
    [
        "cloth;L*;a*;b*;illuminant;observer\nD001;50,0;20,0;10,0;D65;10\nD002;60,0;-5,0;7,5;D65;10\n",
        "\ufeff" + PLAIN,
        PLAIN.replace(",", "\t"),
        PLAIN.replace("7.5", '"7,5"'),
        PLAIN.replace("\n", "\r\n"),
        PLAIN.replace("cloth,L", "Drape,l"),
        "\n" + PLAIN,
    ],
    ids=["semicolons and commas", "mark", "tabs", "quoted comma", "windows", "other names", "blank line"],
)
def test_the_ways_of_spreadsheets_are_read(text):
    assert labs(parsed(text)) == [(50, 20, 10), (60, -5, 7.5)]


@pytest.mark.parametrize("encoding", ["utf-16", "utf-16-le", "utf-16-be", "utf-8-sig"])
def test_marked_text_of_other_widths_is_read(encoding):
    mark = {"utf-16-le": b"\xff\xfe", "utf-16-be": b"\xfe\xff"}.get(encoding, b"")
    assert labs(parsed(mark + PLAIN.replace(",", "\t").encode(encoding))) == [(50, 20, 10), (60, -5, 7.5)]


def test_what_a_row_says_goes_before_what_holds_for_the_file():
    text = (
        "cloth;day;time;folds;direction;place;instrument;backing;uv;L;a;b\n"
        "D001;28.11.2026;14:30;4;along;left;own;white tile;without;50;20;10\nD001;;;;;;;;;51;20;10\n"
    )
    found = parsed(text, D65_2, instrument="spectro 1", folds=2, uv="with")
    first, second = (one.how for one in found.readings)
    assert (first.day, first.time, first.folds, first.direction) == ("2026-11-28", "14:30:00", 4, "along")
    assert (first.place, first.instrument, first.backing, first.uv) == (
        "left",
        "own",
        "white tile",
        Ultraviolet.WITHOUT,
    )
    assert (second.day, second.instrument, second.folds, second.uv) == (DAY, "spectro 1", 2, Ultraviolet.WITH)
    assert found.readings[0].conditions == D65_2


# CIE 15:2018, 8.2.1: L* 116 (Y/Yn)^(1/3) - 16, so that Y/Yn of 0.184187 (18.4187 %) is L* 50; a and b 0 on the white.
def test_lch_and_xyz_become_lab():
    assert parsed("cloth,L,C,h,illuminant,observer\nA,50,10,270,D65,10\n").readings[0].lab == pytest.approx(
        (50, 0, -10)
    )
    white = white_point("D65", D65_10.observer)
    x, y, z = white * 0.18418651851244416
    for scale in (1, 100):
        text = f"cloth,X,Y,Z\nA,{x * scale},{y * scale},{z * scale}\nB,{90 * scale / 100},{scale},{scale}\n"
        found = parsed(text, D65_10).readings
        assert found[0].lab == pytest.approx((50, 0, 0), abs=1e-9)
        assert found[0].given_as is GivenAs.XYZ
        assert found[1].lab[0] == pytest.approx(100)


def test_spectra_are_read_in_parts_of_one_and_in_percent():
    text = SPECTRA.read_text(encoding="utf-8")
    kit = Kit.demo()
    rows = list(csv.reader(text.splitlines()))
    percent = "\n".join(
        ";".join([row[0], *(f"{100 * float(v):.3f}".replace(".", ",") for v in row[1:])] if k else row)
        for k, row in enumerate(rows)
    )
    for written in (text, percent):
        found = parsed(written)
        assert [one.cloth for one in found.readings] == list(kit.ids)
        assert_allclose(labs_under(found.readings, D65_10), kit.lab, atol=0.6)
        assert {one.given_as for one in found.readings} == {GivenAs.SPECTRUM}
    assert found.readings[0].basis_under(D65_2) is ConversionBasis.COMPUTED


def test_one_slip_does_not_make_a_file_percent():
    rows = "".join(f"{name},{','.join(['0.5'] * 31)}\n" for name in "BCD")
    slip = spectrum("0.5").replace("0.5,0.5,0.5\n", "2.5,5,0.5\n")
    with pytest.raises(UnreadableInput, match=r"row 2, column 680: the reflectance at 680 nm is .*; got 2.5\."):
        parsed(slip + rows)
    parts = "cloth,X,Y,Z\nA,.2,.2,.2\nB,.3,.3,.3\nC,.3,3.3,.3\n"
    with pytest.raises(UnreadableInput, match="row 4, column Y"):
        parsed(parts, D65_10)


def test_a_file_of_percent_may_hold_a_black():
    black = f"B,{','.join(['1.5'] * 31)}\n"
    found = parsed(spectrum("50", "50") + black)
    assert [one.reflectance[40] for one in found.readings] == pytest.approx([0.5, 0.015])
    assert [remark.split(":")[0] for remark in found.remarks] == ["Row 3"]


def test_a_file_darker_than_any_cloth_gets_a_remark():
    [remark] = parsed(spectrum("0.005", "0.005")).remarks
    assert remark.startswith("Every reading: every reflectance is below 0.02")
    assert parsed(spectrum("0.5")).remarks == ()


def test_wavelengths_may_be_named_and_stand_in_any_order():
    up = ",".join(f"R{nm}" for nm in range(400, 701, 10))
    down = ",".join(f"{nm} nm" for nm in range(700, 399, -10))
    values = [f"{0.1 + 0.02 * k:.2f}" for k in range(31)]
    one = parsed(f"cloth,{up}\nA,{','.join(values)}\n").readings[0]
    other = parsed(f"cloth,{down}\nA,{','.join(values[::-1])}\n").readings[0]
    assert one.reflectance == other.reflectance
    assert one.reflectance[4] == pytest.approx(0.1)  # 400 nm


def test_a_kit_file_is_readings_too():
    text = "id,name,L,a,b,illuminant,observer,place,notes\nD1,teal,50,-20,-9,D65,10,rail 2,from a photograph\n"
    [one] = parsed(text).readings
    assert (one.cloth, one.lab, one.how.place, one.how.note) == ("D1", (50, -20, -9), "", "")
    with pytest.raises(UnreadableInput, match="row 3, column id: 'D1' is in row 2 already"):
        parsed(text + "D1,teal,51,-20,-9,D65,10,rail 2,\n")


def test_another_light_is_carried_and_labelled():
    [one] = parsed("cloth,L,a,b,illuminant,observer\nA,50,20,10,F11,2 degree\n").readings
    assert one.conditions == Conditions("FL11", "2")
    assert one.basis_under(one.conditions) is ConversionBasis.MEASURED
    assert one.basis_under(D65_10) is ConversionBasis.PREDICTED
    assert 1 < np.abs(labs_under([one], D65_10)[0] - one.lab).max() < 15


HEAD = "cloth,L,a,b,illuminant,observer\n"
WAVES = ",".join(str(nm) for nm in range(400, 701, 10))


def spectrum(first, rest="0.5"):
    return f"cloth,{WAVES}\nA,{first},{','.join([rest] * 30)}\n"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (HEAD + "A,50,20,10,D65,10\nB,150,0,0,D65,10\n", r"row 3, column L: L\* is a finite .* 0 to 115; got 150"),
        (HEAD + "A,50,20,180,D65,10\n", r"row 2, column b: b\* is a finite number"),
        ("cloth,L,C,h\nA,50,20,380\n", "row 2, column h: the hue angle h"),
        ("cloth,L,C,h\nA,50,250,90\n", r"row 2, column C: b\*"),
        ("cloth,X,Y,Z\nA,.2,.2,.2\nB,.2,.2,-.2\n", "row 3, column Z: Z is"),
        (spectrum("0.5").replace("0.5\n", "2.5\n"), "row 2, column 700: the reflectance at 700 nm .* got 2.5"),
        (HEAD + "A,50,nan,10,D65,10\n", "row 2, column a: 'nan' is not a usable number"),
        (HEAD + "A,50,,10,D65,10\n", "row 2, column a: the cell is empty"),
        (HEAD + "A,50,20,10,D65,10\nB,50,20,10,A,10\n", "row 3, column illuminant: 'A' where row 2 has 'D65'"),
        (HEAD + "A,50,20,10,D65,10\nB,50,20,10,D65,2\n", "row 3, column observer: '2' where row 2 has '10'"),
        (HEAD + "A,50,20,10,D66,10\n", "row 2, column illuminant: no illuminant is called 'D66'"),
        (HEAD + ",50,20,10,D65,10\n", "row 2, column cloth: the cell is empty; name the cloth"),
        (HEAD + "A,3,120,-90,D65,10\n", "row 2, column L: no surface has"),
        (HEAD + "A,50,20,10,D65,10,7\n", "row 2, column 7: 7 cells came where the header has 6"),
        (HEAD, "there is no row below the header"),
        ("cloth,L,a,b\nA,50,20,10\n", "row 2, column L: nobody says which illuminant and observer"),
        ("cloth,day,L,a,b\nA,31.02.2026,50,20,10\n", "is no day"),
        ("cloth,day,L,a,b\nA,11/12/2026,50,20,10\n", "is no day"),
        ("cloth,folds,L,a,b\nA,0,50,20,10\n", "column folds: '0' is no number of folds"),
        ("cloth,uv,L,a,b\nA,some,50,20,10\n", "no word for ultraviolet is called 'some'"),
        ("id,cloth,L,a,b\n1,A,50,20,10\n1,A,51,20,10\n", "row 3, column id: '1' is in row 2 already"),
        ("L,a,b\n50,20,10\n", "no column says which cloth was read"),
        ("cloth,L,a,b,gloss\nA,50,20,10,3\n", "unknown column"),
        ("cloth,L,C,h\nA,50,20,380\n", "the hue angle h is a finite number from 0 to 360; got 380"),
        ("cloth,L,C,h\nA,50,-20,38\n", r"C\* is a finite number from 0"),
        ("cloth,X,Y,Z\nA,-1,20,38\n", "X is a finite number from 0"),
        ("cloth,note\nA,soft\n", "the row gives no colour"),
        (spectrum("-0.01"), "row 2, column 400: the reflectance at 400 nm is a finite number from 0 to 2; got -0.01"),
        (spectrum("250", "50"), "the reflectance at 400 nm is a finite number from 0 to 2; got 2.5"),
        (spectrum("0.5").replace(",700", ",690.5"), "covers 400 to 690.5 nm; it has to cover 400 to 700 nm"),
        ("cloth,400,420,500,600,700\nA,.5,.5,.5,.5,.5\n", "the spectrum has steps of 100 nm"),
        (spectrum("").replace("A,,", "A,"), "row 2, column 700: the cell is empty"),
        ("\0cloth,L,a,b\n", "NUL byte"),
        (b"cloth,L,a,b\n\xff\xfe\xfd", "not UTF-8"),
        ("", "the file is empty. Its first line names the columns, such as cloth,day,L,a,b,"),
        ("\ufeff", "the file is empty"),
    ],
)  # fmt: skip
def test_a_bad_file_is_refused_with_its_row_and_reason(text, said):
    stated = None if isinstance(text, str) and "nobody" in said else D65_10
    with pytest.raises(UnreadableInput, match=said):
        parsed(text, stated)


def test_a_light_that_nobody_says_is_asked_for_once():
    with pytest.raises(UnreadableInput) as caught:
        parsed("cloth,L,a,b\nA,50,20,10\nB,50,20,10\nC,50,20,10\n", None)
    assert str(caught.value) == (
        "new.csv: row 2, column L: nobody says which illuminant and observer this colour is for; say it in the file, "
        "or with --illuminant and --observer. Nothing was loaded; correct the rows named and read it again."
    )


def test_every_fault_of_a_file_is_named_at_once():
    with pytest.raises(TenterError) as caught:
        parsed(HEAD + "A,150,0,0,D65,10\nB,50,0,0,D65,10\nC,50,zero,0,D65,10\n")
    assert "row 2, column L" in str(caught.value)
    assert "row 4, column a" in str(caught.value)
