"""CxF3: our own export comes back, and what colour-cxf writes is read; hostile XML is refused before it does harm."""

import colour_cxf
import pytest
from colour_cxf import cxf3
from numpy.testing import assert_allclose

from tenter.colorimetry.measurement import D65_2, D65_10, Conditions
from tenter.consultation.colours.colours import Part, PersonalPalette
from tenter.consultation.readings.cloth_reading import GivenAs, Ultraviolet
from tenter.errors import UnreadableInput
from tenter.report.exports.formats import Format, exported
from tests.support.clients.odd_palette import colour, odd_palette
from tests.support.readings_given import DAY, parsed

NAMESPACE = "http://colorexchangeformat.com/CxF3-core"


def document(objects, specification=""):
    return (
        f'<?xml version="1.0" encoding="UTF-8"?>\n<cc:CxF xmlns:cc="{NAMESPACE}"><cc:Resources><cc:ObjectCollection>'
        f"{objects}</cc:ObjectCollection><cc:ColorSpecificationCollection>{specification}"
        "</cc:ColorSpecificationCollection></cc:Resources></cc:CxF>"
    )


def spectrum(name="D001", own="c1", values="0.25 " * 36, start='StartWL="380"', kind="Standard"):
    return (
        f'<cc:Object ObjectType="{kind}" Name="{name}" Id="{own}">'
        "<cc:CreationDate>2026-11-28T10:00:00Z</cc:CreationDate>"
        f'<cc:ColorValues><cc:ReflectanceSpectrum {start} ColorSpecification="s">{values}</cc:ReflectanceSpectrum>'
        "</cc:ColorValues></cc:Object>"
    )


def lab(L, own="c1", spec="s"):
    return (
        f'<cc:Object ObjectType="Standard" Name="D001" Id="{own}"><cc:ColorValues><cc:ColorCIELab '
        f'ColorSpecification="{spec}"><cc:L>{L}</cc:L><cc:A>1</cc:A><cc:B>2</cc:B></cc:ColorCIELab></cc:ColorValues>'
        "</cc:Object>"
    )


def specified(illuminant="D65", observer="2_Degree", own="s", more=""):
    return (
        f'<cc:ColorSpecification Id="{own}"><cc:TristimulusSpec><cc:Illuminant>{illuminant}</cc:Illuminant>'
        f"<cc:Observer>{observer}</cc:Observer></cc:TristimulusSpec><cc:MeasurementSpec>{more}</cc:MeasurementSpec>"
        "</cc:ColorSpecification>"
    )


DEVICE = (
    "<cc:Backing>Black</cc:Backing><cc:Device><cc:Manufacturer>Own</cc:Manufacturer><cc:Model>Spectro</cc:Model>"
    "<cc:DeviceIllumination>M1_Daylight</cc:DeviceIllumination></cc:Device>"
)


def test_our_own_export_comes_back():
    palette = odd_palette()
    found = parsed(exported(palette, Format.CXF, "a title", "2026-11-28")).readings
    rows = (*palette.colours, *palette.metals, *palette.borrowed, *palette.staples)
    assert [one.cloth for one in found] == [" ".join(row.name.split()) for row in rows]
    assert_allclose([one.lab for one in found], [row.lab for row in rows], atol=1e-5)
    assert {(one.conditions, one.day) for one in found} == {(palette.conditions, "2026-11-28")}


def test_a_light_of_another_name_comes_back():
    palette = PersonalPalette(
        (colour(1, "navy", Part.NEUTRAL),), (), (), (), (), (), {}, conditions=Conditions("FL11", "2")
    )
    assert parsed(exported(palette, Format.CXF, "", DAY)).readings[0].conditions == Conditions("FL11", "2")


def test_what_the_library_writes_is_read():
    spec = cxf3.ReflectanceSpectrum(value=[0.1 + 0.01 * k for k in range(36)], start_wl=380, color_specification="s")
    one = cxf3.Object(object_type="Standard", name="D001", id="c1", color_values=cxf3.ColorValues(choice=[spec]))
    written = colour_cxf.write_cxf(
        cxf3.CxF(resources=cxf3.Resources(object_collection=cxf3.ObjectCollection(object_value=[one])))
    )
    [read] = parsed(written).readings
    assert (read.cloth, read.given_as, read.day) == ("D001", GivenAs.SPECTRUM, DAY)
    assert_allclose(read.reflectance[0:70:2], [0.1 + 0.01 * k for k in range(35)])


def test_instrument_backing_and_ultraviolet_come_from_the_specification():
    [one] = parsed(document(spectrum(), specified(more=DEVICE))).readings
    assert (one.how.instrument, one.how.backing, one.how.uv) == ("Own Spectro", "Black", Ultraviolet.WITH)
    assert (one.day, one.conditions) == ("2026-11-28", D65_2)
    [other] = parsed(document(spectrum(kind="M2_Measurement"))).readings
    assert other.how.uv is Ultraviolet.WITHOUT


@pytest.mark.parametrize(
    ("more", "start", "values"),
    [
        ('<cc:WavelengthRange StartWL="380" Increment="20"/>', "", "0.25 " * 18),
        ('<cc:WavelengthRange StartWL="400" Increment="10"/>', "", "0.25 " * 31),
        ("", 'StartWL="400"', "0.25 " * 31),
    ],
)
def test_wavelengths_are_as_stated(more, start, values):
    [one] = parsed(document(spectrum(values=values, start=start), specified(more=more))).readings
    assert set(one.reflectance) == {0.25}


@pytest.mark.parametrize(
    ("tag", "values", "expected"),
    [("ColorCIELCh", "<cc:L>50</cc:L><cc:C>10</cc:C><cc:H>90</cc:H>", (50, 0, 10)),
     ("ColorCIEXYZ", "<cc:X>17.506</cc:X><cc:Y>18.4187</cc:Y><cc:Z>20.054</cc:Z>", (50, 0, 0))],
)  # fmt: skip
def test_lch_and_xyz_are_read(tag, values, expected):
    one = f'<cc:Object Name="A" Id="1"><cc:ColorValues><cc:{tag} ColorSpecification="s">{values}</cc:{tag}>'
    found = parsed(document(f"{one}</cc:ColorValues></cc:Object>", specified()))
    assert_allclose(found.readings[0].lab, expected, atol=0.02)


def test_objects_without_a_colour_are_said():
    target = '<cc:Object Name="T" Id="t"><cc:DeviceColorValues/></cc:Object>'
    found = parsed(document(target + lab(50), specified()))
    assert [one.row for one in found.readings] == [2]
    assert found.remarks == ("1 of 2 objects give no colour of a surface and were not read.",)


LAUGHS = (
    '<!DOCTYPE lolz [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;">'
    '<!ENTITY c "&b;&b;&b;&b;&b;&b;&b;&b;&b;&b;"><!ENTITY d "&c;&c;&c;&c;&c;&c;&c;&c;&c;&c;">]>'
)
OUTSIDE = '<!DOCTYPE CxF [<!ENTITY x SYSTEM "file:///etc/passwd">]>'
SOUND = document(spectrum() + lab(50, "c2"), specified())


def with_type(doctype, text="&d;"):
    return SOUND.replace("?>\n", f"?>\n{doctype}", 1).replace("D001", text, 1)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (with_type(LAUGHS), "it has a document type"),
        (with_type(OUTSIDE, "&x;"), "it has a document type"),
        (with_type('<!DOCTYPE CxF SYSTEM "http://127.0.0.1:1/x.dtd">', "D001"), "it has a document type"),
        (SOUND.replace("D001", "&d;", 1), "undefined entity"),
        (SOUND.replace("<cc:Resources>", "<cc:R>" * 60), "more than 40 elements deep"),
        (SOUND[:-200], "line 2: .*; the XML is broken or breaks off"),
        (SOUND[:30], "the XML is broken or breaks off"),
        ("<svg/>", "this is no CxF3: it begins with <svg>"),
        (document(""), "no object in it gives"),
        (document(lab(50), specified("D66")), "row 1, column L: nobody says which illuminant"),
        (document(lab(50) + lab(50, "c2", "t"), specified() + specified("A", own="t")), "row 2, .*: A/2°"),
        (document(lab(50) + lab(50), specified()), "row 2, column Id: 'c1' is in object 1 already"),
        (document(lab(150) + lab("x", "c2"), specified()), r"row 1, column L: L\* .* got 150.0; row 2, column L: 'x'"),
        (document(lab("1e999"), specified()), "not a usable number"),
        (document(spectrum(values="-0.01 " * 36)), "row 1, column 380: the reflectance at 380 nm"),
        (document(spectrum(values="0.25 " * 30)), "covers 380 to 670 nm; it has to cover 400 to 700 nm"),
        (document(spectrum(start="")), "row 1, column ReflectanceSpectrum: nothing says at which wavelength"),
        (document(spectrum(start='StartWL="violet"')), "StartWL is 'violet'"),
        (document(spectrum(start='StartWL="nan"')), "StartWL is a finite number"),
        (document(spectrum(values="")), "a spectrum has 1 to 1000 samples; got 0"),
    ],
)  # fmt: skip
def test_a_hostile_cut_or_faulty_document_is_refused_in_words(text, said):
    with pytest.raises(UnreadableInput, match=said):
        parsed(text)


def test_a_missing_light_is_asked_for_once_and_other_faults_are_named():
    with pytest.raises(UnreadableInput) as caught:
        parsed(document("".join(lab(50, f"c{k}") for k in range(14)) + spectrum(own="d", values="-1 " * 36)))
    assert str(caught.value).count("nobody says which illuminant") == 1
    assert "row 15, column 380" in str(caught.value)


def test_a_light_that_is_not_known_is_taken_as_it_is_given():
    assert parsed(document(lab(50), specified("D60")), D65_10).readings[0].conditions == D65_10
