"""Every export is read back by a reader that shares no code with its writer."""

import csv
import io
import re
import xml.etree.ElementTree as ET
from pathlib import Path

import colour_cxf
import numpy as np
import pytest
import tinycss2
from numpy.testing import assert_allclose
from PIL.GimpPaletteFile import GimpPaletteFile

from tenter.colorimetry.measurement import D65_2, Colours, Conditions
from tenter.consultation.colours.colours import Part, PersonalPalette
from tenter.errors import TenterError, UnknownName
from tenter.report.exports.formats import Format, exported
from tests.support.clients.odd_palette import ODD_NAMES, colour, odd_palette

DATA = Path(__file__).parents[2] / "data" / "argyll"
PALETTE = odd_palette()
ROWS = (*PALETTE.colours, *PALETTE.metals, *PALETTE.borrowed, *PALETTE.staples)
NAMES = [row.name for row in ROWS]
GROUPS = ["colours"] * 44 + ["metals"] * 2 + ["borrowed"] * 3 + ["staples"] * 3
STAPLES_SAID = ["staple, swap for ink", "staple, near your face", "staple, away from your face"]
LAB = np.array([row.lab for row in ROWS])
SHOWN, IN_SRGB = Colours(LAB, PALETTE.conditions).on_screen()
CODES = [list(bytes.fromhex(code[1:])) for code in SHOWN]
TITLE = 'Colours of "Анна" <& co>\nsecond line */'


def text(kind, palette=PALETTE, title=TITLE):
    return exported(palette, kind, title, "2026-11-29").decode("utf-8")


def on_one_line(name):
    return re.sub(r"[\n\t]", " ", name)


def test_the_palette_has_what_is_hard_to_write():
    assert set(ODD_NAMES) <= set(NAMES)
    assert IN_SRGB.count(False) >= 2


# -- CSS, by tinycss2 ----------------------------------------------------------------------------------------------


def declared(palette=PALETTE):
    """The custom properties by name, and the errors met on the way."""
    [rule] = tinycss2.parse_stylesheet(text(Format.CSS, palette), skip_comments=True, skip_whitespace=True)
    assert tinycss2.serialize(rule.prelude).strip() == ":root"
    parsed = tinycss2.parse_blocks_contents(rule.content, skip_comments=True, skip_whitespace=True)
    assert [node for node in parsed if node.type != "declaration"] == []
    return {node.name: next(v for v in node.value if v.type != "whitespace") for node in parsed}


def test_css_has_every_colour_and_its_name():
    found = declared()
    names = {k: v.value for k, v in found.items() if k.endswith("--name")}
    assert list(names.values()) == [on_one_line(name) for name in NAMES]
    assert [f"#{found[k.removesuffix('--name')].value}" for k in names] == SHOWN
    assert found["--palette-title"].value == TITLE.replace("\n", " ")
    assert [v.value for k, v in found.items() if k.endswith("--group")] == GROUPS
    assert [v.value for k, v in found.items() if k.endswith("--part")][-3:] == STAPLES_SAID
    assert [k.startswith("--palette-staple-") for k in names] == [group == "staples" for group in GROUPS]
    outside = [k.removesuffix("--outside-srgb") for k in found if k.endswith("--outside-srgb")]
    assert outside == [k.removesuffix("--name") for k, inside in zip(names, IN_SRGB, strict=True) if not inside]


def test_css_names_are_readable_and_each_its_own():
    palette = odd_palette(("navy", "Navy", "na vy", "title", "!!", "коралл", "ª½", "2 pale"))
    names = [k for k, v in declared(palette).items() if v.type == "hash"]
    assert names[:5] == [
        "--palette-navy",
        "--palette-navy-2",
        "--palette-na-vy",
        "--palette-title-2",
        "--palette-colour",
    ]
    assert names[5:8] == ["--palette-коралл", "--palette-colour-2", "--palette-2-pale"]
    assert len(set(names)) == len(ROWS)


# -- SVG, by an XML parser -----------------------------------------------------------------------------------------


def test_svg_draws_every_colour_with_its_name():
    root = ET.fromstring(text(Format.SVG))
    inside = "{http://www.w3.org/2000/svg}"
    groups = root.findall(f"{inside}g")
    assert [g.find(f"{inside}rect").get("fill") for g in groups] == SHOWN
    titles = [g.find(f"{inside}title").text for g in groups]
    assert [t.startswith(f"{on_one_line(n)}: ") for t, n in zip(titles, NAMES, strict=True)] == [True] * len(ROWS)
    assert ["≠" in t for t in titles] == [not inside for inside in IN_SRGB]
    assert [t.split(": ")[-1].removesuffix(" ≠ not true on a screen") for t in titles[-3:]] == STAPLES_SAID
    tops = [float(g.find(f"{inside}rect").get("y")) for g in groups]
    said = {t.text: float(t.get("y")) for t in root.findall(f"{inside}text")}
    assert max(tops[:-3]) + 96 < said["What every shop sells"] < min(tops[-3:])
    width, height = (float(root.get(side)) for side in ("width", "height"))
    for rect in root.iter(f"{inside}rect"):
        x, y, w, h = (float(rect.get(k, 0)) for k in ("x", "y", "width", "height"))
        assert x + w <= width
        assert y + h <= height


# -- GIMP, by Pillow -----------------------------------------------------------------------------------------------


def test_gimp_palette_has_every_colour_and_its_name():
    written = text(Format.GPL)
    read, mode = GimpPaletteFile.frombytes(written.encode()).getpalette()
    assert mode == "RGB"
    assert np.frombuffer(read, np.uint8).reshape(-1, 3).tolist() == CODES
    rows = [line.split("\t") for line in written.splitlines() if re.match(r" *\d", line)]
    said = [f" ({words})" for words in STAPLES_SAID]
    told = [f"{on_one_line(name)}{words}" for name, words in zip(NAMES, [""] * 49 + said, strict=True)]
    assert [row[1].removesuffix(" (outside sRGB)") for row in rows] == told
    assert written.splitlines()[-4].startswith("# Staples: ")
    assert [row[1].endswith(" (outside sRGB)") for row in rows] == [not inside for inside in IN_SRGB]


# -- CGATS.17, by argyll (its kept answers) and by a reader of the format as it is printed --------------------------


def cgats_rows(written):
    """The keywords and the rows of a CGATS file; in quotes two quotes are one."""
    head, data = re.fullmatch(r"CGATS\.17\n(.*)BEGIN_DATA\n(.*)END_DATA\n", written, flags=re.DOTALL).groups()
    fields = re.search(r"BEGIN_DATA_FORMAT\n(.*)\nEND_DATA_FORMAT", head).group(1).split()
    cells = [re.findall(r'"((?:[^"]|"")*)"|(\S+)', line) for line in data.splitlines()]
    assert {len(row) for row in cells} == {len(fields)} == {int(re.search(r"NUMBER_OF_FIELDS (\d+)", head).group(1))}
    assert len(cells) == int(re.search(r"NUMBER_OF_SETS (\d+)", head).group(1))
    rows = [dict(zip(fields, (a.replace('""', '"') or b for a, b in row), strict=True)) for row in cells]
    return head, rows


def test_cgats_values_come_back_with_illuminant_and_observer():
    head, rows = cgats_rows(text(Format.CGATS))
    assert [row["SAMPLE_NAME"] for row in rows] == [on_one_line(name) for name in NAMES]
    assert [row["SAMPLE_GROUP"] for row in rows] == GROUPS
    assert [row["SAMPLE_PART"] for row in rows[-3:]] == STAPLES_SAID
    assert_allclose([[float(row[f"LAB_{k}"]) for k in "LAB"] for row in rows], LAB, rtol=0, atol=1e-4)
    assert [[int(row[f"RGB_{k}"]) for k in "RGB"] for row in rows] == CODES
    assert re.findall(r'WEIGHTING_FUNCTION "(.*)"', head) == ["ILLUMINANT, D65", "OBSERVER, 10 degree"]
    assert "DESCRIPTOR " + '"' + TITLE.replace("\n", " ").replace('"', '""') + '"' in head


# argyll 2.3.1's colverify read this file: tests/data/argyll/README.md.
def test_argyll_reads_the_same_values_in_cgats():
    kept = (DATA / "palette_cgats.txt").read_text(encoding="utf-8")
    codes = re.compile(r"( \d+){3} (?=\S+ \S+ \S+$)", flags=re.MULTILINE)  # which hang on the last bit of a float
    assert codes.sub(" ", text(Format.CGATS, title="An invented palette")) == codes.sub(" ", kept)
    read = np.genfromtxt(DATA / "palette_cgats_read_by_colverify.csv", delimiter=",", skip_header=1)
    assert read[:, 0].tolist() == list(range(1, len(ROWS) + 1))
    assert_allclose(read[:, 1:], LAB, rtol=0, atol=1e-4)


# -- CxF3, by colour-cxf -------------------------------------------------------------------------------------------


def test_cxf_values_come_back_with_illuminant_and_observer():
    document = colour_cxf.read_cxf(exported(PALETTE, Format.CXF, TITLE, "2026-11-29"))
    objects = document.resources.object_collection.object_value
    assert [o.name for o in objects] == [on_one_line(name) for name in NAMES]
    assert len({o.id for o in objects}) == len(objects)
    labs, screens = zip(*(o.color_values.choice for o in objects), strict=True)
    assert_allclose([[v.l, v.a, v.b] for v in labs], LAB, rtol=0, atol=1e-4)
    assert [[v.r, v.g, v.b] for v in screens] == CODES
    specs = {s.id: s.tristimulus_spec for s in document.resources.color_specification_collection.color_specification}
    for values, conditions in ((labs, PALETTE.conditions), (screens, D65_2)):
        [name] = {v.color_specification for v in values}
        assert specs[name].illuminant_or_custom_illuminant.value.value == conditions.illuminant
        assert specs[name].observer.value.value == f"{conditions.observer}_Degree"
    assert document.file_information.description == TITLE.replace("\n", " ")
    tags = [{t.name: t.value for c in o.tag_collection for t in c.tag} for o in objects]
    assert [t["group"] for t in tags] == GROUPS
    assert [t["part"] for t in tags[-3:]] == STAPLES_SAID
    assert tags[12]["title"] == "your red"
    assert tags[13]["basis"] == "chosen by your consultant"
    assert [t["inside sRGB"] for t in tags] == ["yes" if inside else "no" for inside in IN_SRGB]


def test_cxf_states_another_light_by_its_own_name_or_refuses():
    one = colour(1, "navy", Part.NEUTRAL)
    of_light = [
        PersonalPalette((one,), (), (), (), (), (), {}, conditions=Conditions(light, "2"))
        for light in ("FL11", "LED-B3")
    ]
    assert "<cc:Illuminant>F11</cc:Illuminant>\n<cc:Observer>2_Degree" in text(Format.CXF, of_light[0])
    with pytest.raises(UnknownName, match="LED-B3"):
        text(Format.CXF, of_light[1])


# -- CSV, by the csv module, which also wrote it: the numbers are what is checked ----------------------------------


def test_csv_has_every_number_with_its_light():
    rows = list(csv.DictReader(io.StringIO(text(Format.CSV), newline="")))
    assert [row["name"] for row in rows] == NAMES
    assert_allclose([[float(row[k]) for k in "Lab"] for row in rows], LAB, rtol=0, atol=1e-4)
    assert {(row["illuminant"], row["observer"]) for row in rows} == {("D65", "10")}
    assert [row["srgb"] for row in rows] == SHOWN
    assert [row["inside_srgb"] for row in rows] == ["yes" if inside else "no" for inside in IN_SRGB]
    assert [row["group"] for row in rows] == GROUPS
    assert [row["part"] for row in rows[-6:]] == ["borrowed, away from your face"] * 3 + STAPLES_SAID
    assert [bool(row["suitability"]) for row in rows] == [group != "staples" for group in GROUPS]


# -- all of them ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", Format)
def test_the_same_palette_gives_the_same_bytes(kind):
    assert exported(PALETTE, kind, TITLE, "2026-11-29") == exported(odd_palette(), kind, TITLE, "2026-11-29")


@pytest.mark.parametrize("kind", Format)
def test_signs_that_no_file_can_hold_are_stood_in_for(kind):
    palette = odd_palette(("null\0bell\a", "half \ud800 a letter", "not a letter \uffff"))
    written = text(kind, palette, title="\x1b[0m")
    if kind is not Format.CSV:
        assert not re.search(r"[\0\a\x1b\ud800\uffff]", written)
        assert "null\ufffdbell" in written
    if kind in (Format.SVG, Format.CXF):
        ET.fromstring(written)


def test_a_palette_without_colours_is_refused():
    empty = PersonalPalette((), (), (), (), (), (), {})
    with pytest.raises(TenterError, match="finish the sitting"):
        text(Format.CSS, empty)


@pytest.mark.parametrize("kind", Format)
def test_endings_and_media_types_are_told(kind):
    assert kind.ending in ("css", "svg", "gpl", "txt", "cxf", "csv")
    assert "/" in kind.media_type
