"""What is said of a garment: every sentence read against the numbers that it speaks of."""

import re
from dataclasses import replace

import numpy as np
import pytest

from studies.scenes.cloth_scene import cloth_reflectances
from tenter.consultation.axes import Axis
from tenter.consultation.garments.check import check_garment, likeliest, not_read
from tenter.consultation.garments.garment import Garment, GarmentColour, KnownBy, from_reading, from_spectrum
from tenter.consultation.garments.given import named_garment
from tenter.consultation.garments.role import GarmentAnswer, Hold
from tenter.consultation.garments.shop_lamp import under_lamp
from tenter.consultation.personal.suitability import Offset
from tenter.report.on_screen.garment_document import garment_document
from tenter.report.on_screen.garment_off import garment_off_words
from tenter.report.on_screen.garment_words import confidence, garment_words, lamp_words, rescue_words
from tests.support.clients.palette_clients import CATEGORIES, client
from tests.support.unkind_words import NEVER_SAID

ENDS = {"warm": (Axis.UNDERTONE, 1), "cool": (Axis.UNDERTONE, -1), "light": (Axis.DEPTH, 1), "dark": (Axis.DEPTH, -1)}
ENDS |= {"bright": (Axis.CLARITY, 1), "soft": (Axis.CLARITY, -1)}
LABS = ([66, 35, 30], [15, 0, -1], [92, 0, 11], [93, 0, -6], [25, 17, -8], [52, -10, -25], [60, -20, 20], [44, 14, 22])


def checks():
    for category in CATEGORIES[::2]:
        known, palette = client(category)
        for lab in LABS:
            yield check_garment(palette, known, from_reading(lab)), palette


def test_what_is_off_is_what_the_numbers_say():
    said = 0
    for check, _ in checks():
        for axis, phrase in zip(Axis, garment_off_words(check.off).split(", "), strict=True):
            offset = check.off[axis]
            if phrase == f"{axis} right":
                assert abs(offset.mean) < 0.35
                continue
            perhaps, size, end = re.fullmatch(r"(perhaps )?(a touch|too|much too) (\w+)", phrase).groups()
            assert ENDS[end] == (axis, np.sign(offset.mean))
            assert bool(perhaps) == (offset.low <= 0 <= offset.high)
            low, high = {"a touch": (0.35, 0.9), "too": (0.9, 1.6), "much too": (1.6, 99)}[size]
            assert low <= abs(offset.mean) < high
            said += 1
    assert said > 50


def test_nothing_that_is_worn_near_the_face_is_said_to_be_too_much_of_anything():
    near = [check for check, _ in checks() if check.answer is GarmentAnswer.NEAR_FACE]
    assert len(near) > 5
    assert not any(re.search(r"\btoo\b", garment_words(check).text, re.IGNORECASE) for check in near)
    assert any(max(abs(o.mean) for o in check.off.values()) > 0.9 for check in near)  # as measured, some are


def test_where_a_colour_is_named_instead_no_other_is_called_the_nearest():
    known, palette = client("soft summer")
    for name in ("black", "orange"):
        told = garment_words(check_garment(palette, known, named_garment(name, palette))).text
        assert ("Your palette has" in told, "The nearest colour" in told) == (True, False)


def test_what_the_palette_answers_is_not_said_to_be_off():
    known, palette = client("cool winter")
    [white] = [c for c in palette.colours if c.title == "your white"]
    check = check_garment(palette, known, from_reading(white.lab))
    assert (check.answer, check.held) == (GarmentAnswer.NEAR_FACE, Hold.PALETTE)
    assert garment_words(check).lines[0] == "Your palette puts it there."
    assert garment_document(check)["off_words"] is None


def test_the_words_of_the_walk():
    off = {
        Axis.UNDERTONE: Offset(-0.5, -0.9, -0.1),
        Axis.DEPTH: Offset(0.1, -0.2, 0.4),
        Axis.CLARITY: Offset(0.6, -0.1, 1.3),
    }
    assert garment_off_words(off) == "a touch cool, depth right, perhaps a touch bright"


def test_the_headline_is_the_answer_and_only_one_is_said():
    seen = {}
    for check, _ in checks():
        seen.setdefault(check.answer, set()).add(garment_words(check).headline)
    assert {GarmentAnswer.NEAR_FACE, GarmentAnswer.AWAY, GarmentAnswer.LEAVE} <= set(seen)
    assert all(len(lines) == 1 for lines in seen.values())
    assert len({next(iter(lines)) for lines in seen.values()}) == len(seen)


def test_what_goes_between_is_of_the_palette_and_is_said_unless_it_is_worn_near_the_face():
    for check, palette in checks():
        names = {c.name for c in palette.colours}
        assert {c.name for c in (*check.between, *check.goes_with)} <= names
        rescue = rescue_words(check)
        if check.answer is GarmentAnswer.NEAR_FACE:
            assert rescue == ""
            assert all(c.name in garment_words(check).text for c in check.goes_with)
        else:
            assert check.between
            assert all(c.name in rescue for c in check.between)


def test_nobody_is_told_to_throw_anything_away():
    left = [check for check, _ in checks() if check.answer is GarmentAnswer.LEAVE]
    assert left
    for check in left:
        assert "If you love it, wear it away from your face with" in garment_words(check).text
        assert "Nothing needs to be thrown away." in garment_words(check).text


def test_a_rule_that_holds_a_colour_is_named():
    held = {check.held: garment_words(check).text for check, _ in checks() if check.held}
    assert "Plain black and grey may be worn away from the face by anyone." in held[Hold.PLAIN]
    assert "For a white, only the undertone counts." in held[Hold.WHITE]
    assert "too light" not in held[Hold.WHITE]


def test_confidence_is_the_probability_of_the_role():
    for check, _ in checks():
        word = confidence(check)
        if check.answer is GarmentAnswer.CANNOT_TELL:
            assert word is None
            continue
        chance = check.roles[check.answer]
        assert word == ("high" if chance >= 0.9 else "medium" if chance >= 0.7 else "low")
        assert f"Confidence from the reading: {word}." in garment_words(check).lines


def test_confidence_is_no_greater_than_the_part_that_was_read():
    sure = [check for check, _ in checks() if confidence(check) == "high"]
    assert sure
    for check in sure:
        words = [confidence(replace(check, unlike=unlike)) for unlike in (0.0, 0.15, 0.4)]
        assert words == ["high", "medium", "low"]
        said = garment_words(replace(check, unlike=0.15)).lines
        assert said.index("Confidence from the reading: medium.") == 1 + next(
            at for at, line in enumerate(said) if line.startswith("About 15 % of it looks unlike the colour")
        )


def test_where_it_cannot_be_told_the_words_say_between_what_and_what_to_do():
    known, palette = client("cool summer")
    wide = Garment((GarmentColour((52.0, 5.0, -12.0), (30.0, 30.0, 30.0), 1.0, KnownBy.PHOTO),))
    photo, name = (check_garment(palette, known, g) for g in (wide, named_garment("green", palette)))
    for check, next_step in ((photo, "Photograph it again in daylight"), (name, "beside a colour card")):
        assert check.answer is GarmentAnswer.CANNOT_TELL
        text = garment_words(check).text
        places = {"near_face": "near your face", "away": "away from your face", "small": "in small areas"}
        assert all(places.get(role, "hardly at all") in text for role in likeliest(check))
        assert next_step in text
        assert "Confidence" not in text
    assert "Many shades are sold as green" in garment_words(name).text


def test_a_refused_photograph_says_why_in_its_own_words():
    check = not_read(("No card was found. Lay it flat.",))
    words = garment_words(check)
    assert words.headline == "This can't be told yet."
    assert words.lines == ("The photo could not be read.", "No card was found. Lay it flat.")
    document = garment_document(check)
    assert document["answer"] == "cannot_tell"
    assert document["off"] == {"undertone": None, "depth": None, "clarity": None}
    assert (document["suitability"], document["nearest"], document["rescue"]) == (None, None, None)


def test_the_nearest_colour_is_as_near_as_it_is_said_to_be():
    said = set()
    for check, _ in checks():
        text, apart = garment_words(check).text, check.nearest.delta_e
        name = check.nearest.colour.name
        expected = (
            f"It hardly differs from your {name}."
            if apart <= 4
            else f"palette is {name}, and it is close to that."
            if apart <= 8
            else f"palette is {name}, and it is well apart from that."
        )
        assert (expected in text) is (not check.instead)
        if check.instead:
            continue
        said.add(expected.rsplit(name, maxsplit=1)[-1])
    assert len(said) == 3


def test_a_print_is_told_colour_by_colour():
    known, palette = client("warm spring")
    colours = (((66.0, 35.0, 30.0), 0.7), ((25.0, 17.0, -8.0), 0.3))
    mixed = Garment(tuple(GarmentColour(lab, (0.5,) * 3, area, KnownBy.PHOTO) for lab, area in colours))
    text = garment_words(check_garment(palette, known, mixed, (1,))).text
    assert "70 % of the print is " in text
    assert "30 % of the print is not in your palette: by itself hardly at all. It is not near your face." in text
    assert text.count("It is not near your face.") == 1


@pytest.mark.parametrize("lamp", ["bulb", "FL11", "LED-B3"])
def test_the_words_of_a_lamp_are_its_numbers(lamp):
    known, palette = client("warm autumn")
    moved = 0
    for reflectance in cloth_reflectances()[:12]:
        garment = from_spectrum(reflectance)
        check, shown = check_garment(palette, known, garment), under_lamp(palette, known, garment, lamp)
        text = lamp_words(shown, check)
        assert f"ΔE00 {shown.delta_e:.1f} from daylight" in text
        assert "much the same" not in text or shown.delta_e <= 4
        for word, (axis, sign) in ENDS.items():
            assert (f"{word}er" in text) == (sign * shown.moves[axis] >= 0.35)
            moved += f"{word}er" in text
        differs = check.answer not in (shown.role, GarmentAnswer.CANNOT_TELL)
        assert ("Judge it in daylight." in text) == differs
    assert moved or lamp != "FL11"


def test_a_lamp_that_is_not_stored_and_a_spectrum_that_is_not_known_are_said():
    known, palette = client("warm autumn")
    reading, spectrum = from_reading([50, 20, 20]), from_spectrum(cloth_reflectances()[2])
    no_spectrum, no_lamp = (
        lamp_words(under_lamp(palette, known, g, lamp), check_garment(palette, known, g))
        for g, lamp in ((reading, "tube"), (spectrum, "disco ball"))
    )
    assert "its colour in daylight is known, but not its spectrum" in no_spectrum
    assert "No spectrum is stored of a lamp called disco ball" in no_lamp


def test_nothing_unkind_is_said():
    pattern = re.compile(r"\b(" + "|".join(map(re.escape, NEVER_SAID)) + r")\b", re.IGNORECASE)
    for check, palette in checks():
        text = garment_words(check).text
        for colour in (*palette.colours, *palette.borrowed):
            text = (
                text.replace(colour.name, "").replace(colour.answer, "")
                if colour.answer
                else text.replace(colour.name, "")
            )
        assert not pattern.search(text), text


def test_the_json_has_what_its_readers_were_promised():
    for check, _ in checks():
        document = garment_document(check)
        assert {"answer", "suitability", "interval_90", "off", "rescue", "nearest"} <= set(document)
        assert set(document["off"]) == {"undertone", "depth", "clarity"}
        low, high = document["interval_90"]
        assert low <= document["suitability"] <= high
