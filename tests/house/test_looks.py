"""What the style sheets promise: neutral greys, surrounds of colours that stay the same by night."""

import re
from pathlib import Path

import pytest

import tenter.web

STATIC = Path(tenter.web.__file__).parent / "static" / "tenter"
SHEETS = sorted(STATIC.glob("*.css"))
TOKENS = (STATIC / "tokens.css").read_text(encoding="utf-8")


def red_green_blue(colour: str) -> set[str]:
    digits = colour.lstrip("#")
    wide = digits if len(digits) >= 6 else "".join(digit * 2 for digit in digits)
    return {wide[0:2], wide[2:4], wide[4:6]}


@pytest.mark.parametrize("sheet", SHEETS, ids=lambda sheet: sheet.stem)
def test_every_colour_of_a_sheet_is_a_neutral_grey(sheet):
    # Common practice, no source: a coloured page would be seen in the face. R = G = B has a chroma of 0.
    text = sheet.read_text(encoding="utf-8")
    coloured = [colour for colour in re.findall(r"#[0-9a-fA-F]{3,8}\b", text) if len(red_green_blue(colour)) > 1]
    assert not coloured
    assert not re.search(r"\b(rgba?|hsla?|oklch|lab)\(", text)


@pytest.mark.parametrize("name", ["surround", "bench", "on-surround", "sheet"])
def test_what_lies_around_colours_is_the_same_by_day_and_by_night(name):
    assert len(re.findall(rf"--{name}:", TOKENS)) == 1


def test_each_sheet_uses_only_names_that_are_given():
    given = set(re.findall(r"(--[\w-]+):", "".join(sheet.read_text(encoding="utf-8") for sheet in SHEETS)))
    used = {name for sheet in SHEETS for name in re.findall(r"var\((--[\w-]+)", sheet.read_text(encoding="utf-8"))}
    assert used - given == set()


def test_every_cut_of_the_serif_is_there_with_its_licence():
    asked_for = re.findall(r'url\("(type/[\w.-]+)"\)', TOKENS)
    assert len(asked_for) == 8
    for cut in asked_for:
        assert (STATIC / cut).read_bytes()[:4] == b"wOF2"
    assert "SIL OPEN FONT LICENSE" in (STATIC / "type" / "LICENCE.txt").read_text(encoding="utf-8")


# Px of a rem, and of an em where letters have the size of the body; the key in a step of the bench is half of 18 mm.
UNITS = {"rem": 18.0, "em": 18.0, "px": 1.0}
LEAST = 13.0  # px, of a note
IN_LARGE_LETTERS = re.compile(r"\.bench \.step kbd \{[^}]*\}")


@pytest.mark.parametrize("sheet", SHEETS, ids=lambda sheet: sheet.stem)
def test_no_letter_of_a_sheet_is_smaller_than_a_note(sheet):
    text = IN_LARGE_LETTERS.sub("", sheet.read_text(encoding="utf-8")).replace("clamp(", "")
    sizes = re.findall(r"(?:font-size|--type-\w+):\s*([\d.]+)(rem|em|px)\b", text)
    assert [f"{size}{unit}" for size, unit in sizes if float(size) * UNITS[unit] < LEAST] == []


ONE_SIDE = re.compile(r"(margin|padding|border)-(left|right)|(text-align|float): (left|right)|(?<![-\w])(left|right):")


@pytest.mark.parametrize("sheet", SHEETS, ids=lambda sheet: sheet.stem)
def test_a_sheet_says_start_and_end_so_that_a_page_can_be_read_from_the_right(sheet):
    rules = re.findall(r"[^{}]+\{[^{}]*\}", sheet.read_text(encoding="utf-8"))
    # The two cloths of a pair alone are at the left and the right hand, in every script.
    assert [rule for rule in rules if ONE_SIDE.search(rule) and ".cloths.pair" not in rule] == []
