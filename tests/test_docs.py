"""The documents of the file formats say what the program reads: columns, fields, words, examples and faults."""

import re
import tomllib
from importlib.resources import files
from pathlib import Path

import pytest

from tenter import Answer, Kit, Method, Source, Suits, View, Worth
from tenter.colorimetry.illuminants import Observer, illuminant_power
from tenter.consultation.axes import ClarityReading
from tenter.consultation.cloths.hue_families import HueFamily
from tenter.consultation.cloths.kit import KIT_OPTIONAL, KIT_REQUIRED
from tenter.consultation.conventions.bundled import BUNDLED
from tenter.consultation.conventions.method_parts import Decides, GreyForWarm, SiblingColours
from tenter.consultation.conventions.staple_customs import STAPLES, StapleWear
from tenter.consultation.record.ledger import LEDGER_OPTIONAL, LEDGER_REQUIRED, parse_ledger
from tenter.consultation.words.answers import Brought, Relative
from tenter.consultation.words.flags import Flag, Sign
from tenter.consultation.words.traits import LeadingTrait, UndertoneSide
from tenter.errors import UnknownName, UnreadableInput

DOCS = Path(__file__).parents[1] / "docs"
TABLES = (DOCS / "reference" / "kit-and-ledger-files.md").read_text(encoding="utf-8")
METHODS = (DOCS / "reference" / "method-files.md").read_text(encoding="utf-8")


def table(text, first_heading, number=0):
    """Return the rows of the number-th table whose first column has a heading, as cells."""
    found = re.findall(rf"^\| {first_heading} \|.*\n\|[-| ]+\|\n((?:\|.*\n)+)", text, flags=re.MULTILINE)[number]
    return [[cell.strip() for cell in line.strip("|").split(" | ")] for line in found.splitlines()]


def words(text, label):
    """Return the words in back quotes that follow a label on its line, up to the end of the sentence."""
    [line] = re.findall(rf"^{label}: ((?:`[^`]+` ?|or |and )+)", text, flags=re.MULTILINE)
    return re.findall(r"`([^`]+)`", line)


def blocks(text, language):
    return re.findall(rf"^```{language}\n(.*?)^```", text, flags=re.MULTILINE | re.DOTALL)


def unquoted(cell):
    return cell.strip("`")


# -- kit and ledger ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("number", "required", "optional"),
    [(0, KIT_REQUIRED, KIT_OPTIONAL), (1, LEDGER_REQUIRED, LEDGER_OPTIONAL)],
    ids=["kit", "ledger"],
)
def test_columns(number, required, optional):
    rows = table(TABLES, "column", number)
    assert all(row[1] in ("yes", "no") and row[2] for row in rows)
    assert [unquoted(row[0]) for row in rows if row[1] == "yes"] == list(required)
    assert {unquoted(row[0]) for row in rows if row[1] == "no"} == set(optional)


@pytest.mark.parametrize(
    ("label", "kind"),
    [
        ("Hue families", HueFamily),
        ("Equal answers", [a for a in Answer if a.is_equal]),
        ("A garment differs by one or more of", Relative),
        ("Levels", Suits),
        ("Shown after the verdict", Worth),
        ("Brought", Brought),
        ("Views", View),
        ("Sources", Source),
        ("Flags", Flag),
        ("Signs", Sign),
    ],
)
def test_words_of_the_tables(label, kind):
    assert words(TABLES, label) == [str(word) for word in kind]


def test_kinds_of_entries(demo_kit):
    with pytest.raises(UnreadableInput) as caught:
        parse_ledger("client,step,kind,cloths,answer\nA,1,weave,D001,\n", demo_kit)
    known = re.search(r"use ([a-z, ]+)", str(caught.value)).group(1).replace(" or ", ", ")
    assert [unquoted(row[0]) for row in table(TABLES, "kind")] == known.split(", ")


def test_illuminants_and_observers():
    with pytest.raises(UnknownName) as caught:
        illuminant_power("")
    assert words(TABLES, "Illuminants") == list(caught.value.known)
    [observer] = [row[2] for row in table(TABLES, "column") if row[0] == "`observer`"]
    assert re.findall(r"`([^`]+)`", observer) == [str(o) for o in Observer]


@pytest.mark.parametrize("axis", ["L", "a", "b"])
def test_bounds_of_a_colour(axis):
    [text] = [row[2] for row in table(TABLES, "column") if row[0] == f"`{axis}`"]
    low, high = (float(n.replace("−", "-")) for n in re.search(r"(−?\d+) to (\d+)", text).groups())
    for value, good in ((low, True), (high, True), (low - 1, False), (high + 1, False)):
        cells = {"L": "50", "a": "0", "b": "0"} | {axis: str(value)}
        row = f"A,x,{cells['L']},{cells['a']},{cells['b']},D65,10"
        if good:
            assert len(Kit.parse(f"id,name,L,a,b,illuminant,observer\n{row}\n")) == 1
        else:
            with pytest.raises(UnreadableInput, match=f"column {axis}"):
                Kit.parse(f"id,name,L,a,b,illuminant,observer\n{row}\n")


def test_the_example_tables_are_read(demo_kit):
    cloths, entries = blocks(TABLES, "csv")
    found = Kit.parse(cloths)
    assert [d.measured for d in found.drapes] == [True, True, True, False]
    rows = parse_ledger(entries, demo_kit)
    kinds = {unquoted(row[0]) for row in table(TABLES, "kind")}
    assert {line.split(",")[2] for line in entries.splitlines()[1:]} == kinds
    assert len(rows) == 13


def test_the_faulty_kit_is_refused_in_the_words_shown():
    [faulty], [shown] = blocks(TABLES, "csv faulty"), blocks(TABLES, "text")
    with pytest.raises(UnreadableInput) as caught:
        Kit.parse(faulty, "drapes.csv")
    assert str(caught.value) == shown.strip()
    mended = faulty.replace('"82,1"', "82.1").replace("D50", "D65")
    with pytest.raises(UnreadableInput, match="row 4, column id"):
        Kit.parse(mended, "drapes.csv")


# -- methods -------------------------------------------------------------------------------------------------------


def fields_of(value, path=()):
    """Yield the dotted path of every field that holds a value and not a table; lists of tables are seen as one."""
    for key, inner in value.items():
        if isinstance(inner, list) and inner and isinstance(inner[0], dict):
            for item in inner:
                yield from fields_of(item, (*path, key))
        elif isinstance(inner, dict):
            yield from fields_of(inner, (*path, key))
        else:
            yield ".".join((*path, key))


def test_fields_of_a_method():
    text = (files("tenter.consultation") / "data" / "four-by-three.toml").read_text(encoding="utf-8")
    rows = table(METHODS, "field")
    assert [unquoted(row[0]) for row in rows] == sorted(
        set(fields_of(tomllib.loads(text))), key=[unquoted(row[0]) for row in rows].index
    )
    assert all(len(row) == 3 and row[1] and row[2] for row in rows)


@pytest.mark.parametrize(
    ("label", "kind"), [("Phases decide", Decides), ("Leading traits", LeadingTrait), ("Flags", Flag)]
)
def test_words_of_a_method(label, kind):
    assert words(METHODS, label) == [str(word) for word in kind]


@pytest.mark.parametrize(
    ("field", "kind"),
    [
        ("readings.clarity", ClarityReading),
        ("readings.sibling_colours", SiblingColours),
        ("readings.grey_for_warm", GreyForWarm),
        ("seasons.undertone", UndertoneSide),
        ("staples.worn", StapleWear),
    ],
)
def test_words_of_a_field(field, kind):
    [said] = [row[2] for row in table(METHODS, "field") if row[0] == f"`{field}`"]
    assert re.findall(r"`([^`]+)`", said) == [str(word) for word in kind]


def test_the_staples_of_a_method_are_named():
    assert words(METHODS, "Staples") == list(STAPLES)


def test_bundled_methods_are_named():
    [line] = re.findall(r"^Three methods come with Tenter: (.*)", METHODS, flags=re.MULTILINE)
    assert re.findall(r"`([^`]+)`", line) == list(BUNDLED)
    assert len(BUNDLED) == 3


def test_the_example_method_is_read():
    [example] = blocks(METHODS, "toml")
    method = Method.parse(example)
    assert method.categories == ("bright gold", "soft gold", "bright silver", "soft silver")
    assert method.readings == Method.bundled().readings


def test_the_faulty_method_is_refused_in_the_words_shown():
    [faulty], [shown] = blocks(METHODS, "toml faulty"), blocks(METHODS, "text")
    with pytest.raises(UnreadableInput) as caught:
        Method.parse(faulty, "my-method.toml")
    assert str(caught.value) == shown.strip()
