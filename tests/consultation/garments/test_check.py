"""Can I wear this: the laws of the answer, over the twelve categories."""

import json
import re
from dataclasses import replace

import numpy as np
import pytest

from tenter.arrays import steady
from tenter.consultation.axes import Axis
from tenter.consultation.cloths.hue_families import TYPICAL_LAB, HueFamily, hue_family
from tenter.consultation.colours.borders import AWAY_FROM, NEAR_FROM, SMALL_FROM
from tenter.consultation.colours.candidates import candidates
from tenter.consultation.colours.colours import Part, StapleAnswer
from tenter.consultation.conventions.method_parts import SiblingColours
from tenter.consultation.garments.check import SURE_OF_ROLE, Unclear, check_garment, hardly_differs, likeliest
from tenter.consultation.garments.garment import Garment, GarmentColour, KnownBy, from_reading
from tenter.consultation.garments.given import named_garment
from tenter.consultation.garments.role import ROLES, GarmentAnswer, Hold, role_of
from tenter.consultation.personal.document import palette_document, palette_from
from tenter.consultation.personal.making import known_of, personal_palette
from tenter.consultation.words.traits import UndertoneSide
from tenter.errors import TenterError
from tests.support.clients.palette_clients import CATEGORIES, METHOD, client, known_about

STEP, ELSEWHERE = 1.2, 0.3  # bench units: a colour that is off on one axis, and on no other


@pytest.fixture(scope="module")
def offered():
    """Colours of dyeable cloth (n, 3) that are no whites, with their places (n, 3)."""
    cloths = candidates()
    coloured = np.array([family is not HueFamily.WHITE for family in cloths.families])
    lab, families = cloths.lab[coloured], [f for f in cloths.families if f is not HueFamily.WHITE]
    return lab, METHOD.places(lab, families)


def exactly(lab):
    """Return a garment whose colour is known without error."""
    return Garment((GarmentColour(tuple(map(float, lab)), (0.0, 0.0, 0.0), 1.0, KnownBy.SPECTRUM),))


def checked(category, lab):
    known, palette = client(category)
    return check_garment(palette, known, exactly(lab))


@pytest.mark.parametrize("category", CATEGORIES)
def test_a_colour_at_the_ideal_is_worn_near_the_face(category, offered):
    lab, places = offered
    known, _ = client(category)
    found = checked(category, lab[np.argmin(np.linalg.norm(places - known.ideal, axis=1))])
    assert found.answer is GarmentAnswer.NEAR_FACE
    assert found.suitability >= NEAR_FROM
    assert all(abs(offset.mean) < 0.35 and offset.low < 0 < offset.high for offset in found.off.values())
    assert found.between == ()
    assert found.goes_with


@pytest.mark.parametrize("axis", Axis)
@pytest.mark.parametrize("category", ["warm spring", "soft summer", "soft autumn", "bright winter"])
def test_a_colour_off_on_one_axis_is_said_to_be_off_on_that_axis(category, axis, offered):
    lab, places = offered
    known, _ = client(category)
    tried = 0
    for side in (-1, 1):
        wanted = known.ideal.copy()
        wanted[axis.column] += side * STEP
        at = np.argmin(np.linalg.norm(places - wanted, axis=1))
        if np.linalg.norm(places[at] - wanted) > ELSEWHERE:
            continue  # no cloth can be dyed so
        found, near = checked(category, lab[at]), checked(category, lab[_nearest(places, known.ideal)])
        assert max(found.off, key=lambda a: abs(found.off[a].mean)) is axis
        assert np.sign(found.off[axis].mean) == side
        assert found.suitability < near.suitability
        tried += 1
    assert tried


def _nearest(places, ideal):
    return int(np.argmin(np.linalg.norm(places - ideal, axis=1)))


def test_the_further_from_the_ideal_the_further_from_the_face(offered):
    lab, places = offered
    known, palette = client("light summer")
    rng = np.random.default_rng(3)
    rows = [_nearest(places, known.ideal), *(int(r) for r in rng.choice(len(lab), 60, replace=False))]
    found = [check_garment(palette, known, exactly(lab[r])) for r in rows]
    by_suitability = [f for f in found if f.held is None]
    assert len({f.answer for f in by_suitability}) == len(ROLES)
    for one in by_suitability:
        borders = (NEAR_FROM, AWAY_FROM, SMALL_FROM)
        assert one.answer is ROLES[sum(steady(one.suitability) < border for border in borders)]
    assert all(
        ROLES.index(f.answer) < sum(f.suitability < b for b in (NEAR_FROM, AWAY_FROM, SMALL_FROM))
        for f in found
        if f.held not in (None, Hold.WHITE)
    )


# -- how sure ------------------------------------------------------------------------------------------------------


def widened(garment, factor):
    """Return a garment whose colours are known less well, by a factor of their intervals."""
    wide = (
        replace(c, half_width_90=tuple(factor * np.asarray(c.half_width_90)), reflectance=None) for c in garment.colours
    )
    return replace(garment, colours=tuple(wide))


def test_a_wider_measurement_never_makes_an_answer_out_of_none(offered):
    lab, _ = offered
    rng = np.random.default_rng(5)
    known, palette = client("warm autumn")
    silenced = 0
    for row in rng.choice(len(lab), 50, replace=False):
        answers = []
        for half in (0.5, 1, 2, 4, 8, 16):
            colour = GarmentColour(tuple(lab[row]), (float(half),) * 3, 1.0, KnownBy.PHOTO)
            answers.append(check_garment(palette, known, Garment((colour,))).answer)
        silent = [answer is GarmentAnswer.CANNOT_TELL for answer in answers]
        assert silent == sorted(silent), (lab[row], answers)
        assert len(set(answers) - {GarmentAnswer.CANNOT_TELL}) <= 1
        silenced += any(silent)
    assert silenced > 20


def test_a_wider_measurement_widens_the_interval():
    known, palette = client("deep autumn")
    narrow = from_reading([40, 25, 30])
    first, second = (check_garment(palette, known, g).interval_90 for g in (narrow, widened(narrow, 8)))
    assert second[1] - second[0] > first[1] - first[0]
    assert second[0] <= first[0] + 0.01


def test_less_known_of_the_client_widens_the_interval_and_not_the_roles():
    _, palette = client("deep autumn")
    garment = from_reading([40, 25, 30])
    tight, loose = (
        check_garment(palette, known_about(METHOD.region("deep autumn").prototype, s), garment) for s in (0.1, 0.6)
    )
    assert loose.interval_90[1] - loose.interval_90[0] > tight.interval_90[1] - tight.interval_90[0]
    assert sum(loose.roles.values()) == pytest.approx(1)


def test_what_an_instrument_read_is_always_answered(offered):
    lab, _ = offered
    known, palette = client("bright winter")
    rng = np.random.default_rng(7)
    unsure = 0
    for row in rng.choice(len(lab), 120, replace=False):
        read = from_reading(lab[row])
        less_well = widened(read, 2)
        assert check_garment(palette, known, read).answer is not GarmentAnswer.CANNOT_TELL
        unsure += check_garment(palette, known, less_well).answer is GarmentAnswer.CANNOT_TELL
    assert unsure


def test_a_staple_that_is_swapped_names_what_the_palette_has_instead():
    told = 0
    for category in CATEGORIES[::3]:
        _, palette = client(category)
        for staple in palette.staples:
            found = checked(category, staple.lab)
            swapped = staple.answer is StapleAnswer.SWAP and found.answer is not GarmentAnswer.NEAR_FACE
            assert found.instead == (staple.swap_for if swapped else "")
            told += bool(found.instead)
    assert told


def test_where_it_cannot_be_told_the_likeliest_roles_are_named_together():
    known, palette = client("cool summer")
    wide = Garment((GarmentColour((52.0, 5.0, -12.0), (30.0, 30.0, 30.0), 1.0, KnownBy.PHOTO),))
    found = check_garment(palette, known, wide)
    assert found.answer is GarmentAnswer.CANNOT_TELL
    assert found.unclear is Unclear.COLOUR_IS_UNSURE
    assert len(likeliest(found)) >= 2
    assert sum(found.roles[role] for role in likeliest(found)) >= SURE_OF_ROLE
    assert found.suitability is not None
    assert found.held is None


# -- rules of the trade: common practice, no source ------------------------------------------------------------------


@pytest.mark.parametrize("category", CATEGORIES)
def test_a_colour_of_the_palette_has_at_least_the_role_that_the_palette_gives(category):
    _, palette = client(category)
    for colour in palette.colours:
        found = checked(category, colour.lab)
        assert ROLES.index(found.answer) <= ROLES.index(role_of(colour)), colour.name
        assert found.nearest.colour is colour
        assert found.nearest.delta_e == 0


@pytest.mark.parametrize("category", CATEGORIES)
def test_a_colour_of_a_sibling_is_never_sent_further_than_away(category, offered):
    lab, places = offered
    siblings = [c for c in CATEGORIES if METHOD.season_of[c] == METHOD.season_of[category] and c != category]
    for sibling in siblings:
        found = checked(category, lab[_nearest(places, np.array(METHOD.region(sibling).prototype))])
        assert found.answer in (GarmentAnswer.NEAR_FACE, GarmentAnswer.AWAY)


def test_a_method_that_counts_the_sub_season_alone_does_not_hold_a_siblings_colours(offered):
    lab, places = offered
    text = f'extends = "{METHOD.name}"\n[readings]\nclarity = "chroma"\nmetal_tint = true\n'
    strict = METHOD.parse(text + 'sibling_colours = "own"\ngrey_for_warm = "poor"\n')
    assert strict.readings.sibling_colours is SiblingColours.OWN
    _, palette = client("deep winter")
    colour = exactly(lab[_nearest(places, np.array([-0.6, -0.1, 2.0]))])
    ideal = METHOD.region("deep winter").prototype
    lenient, own = (check_garment(palette, known_about(ideal, 0.2, m), colour) for m in (METHOD, strict))
    assert (lenient.answer, lenient.held) == (GarmentAnswer.AWAY, Hold.SEASON)
    assert own.answer in (GarmentAnswer.SMALL, GarmentAnswer.LEAVE)
    assert own.suitability == lenient.suitability


@pytest.mark.parametrize("category", CATEGORIES)
def test_plain_black_and_grey_are_worn_away_from_the_face_at_the_furthest(category):
    for lab in ([15, 0, -1], [52, 0, 0]):
        assert checked(category, lab).answer in (GarmentAnswer.NEAR_FACE, GarmentAnswer.AWAY)


# What the strip of staples says of black, grey or camel is said of a garment of that name too.
@pytest.mark.parametrize("category", CATEGORIES)
def test_a_staple_that_is_worn_near_the_face_is_so_as_a_garment(category):
    known, palette = client(category)
    for staple in palette.staples:
        if staple.answer is StapleAnswer.NEAR:
            assert checked(category, staple.lab).answer is GarmentAnswer.NEAR_FACE
            assert check_garment(palette, known, named_garment(staple.name, palette)).answer is GarmentAnswer.NEAR_FACE


# A garment that is sold as black has hardly any hue: its name says as much of it as a reading would.
@pytest.mark.parametrize("name", ["black", "grey"])
@pytest.mark.parametrize("category", CATEGORIES)
def test_what_is_called_black_or_grey_is_answered_as_black_or_grey(category, name):
    known, palette = client(category)
    found = check_garment(palette, known, named_garment(name, palette))
    assert found.answer in (GarmentAnswer.NEAR_FACE, GarmentAnswer.AWAY)


@pytest.mark.parametrize("category", CATEGORIES)
def test_a_white_of_the_other_undertone_is_further_from_the_face(category):
    warm = METHOD.region(category).prototype[0] > 0
    cream, blue_white = checked(category, [92, 0, 11]), checked(category, [93, 0, -6])
    own, other = (cream, blue_white) if warm else (blue_white, cream)
    assert own.answer is GarmentAnswer.NEAR_FACE
    assert ROLES.index(own.answer) < ROLES.index(other.answer)
    assert own.held is Hold.WHITE


# -- prints ----------------------------------------------------------------------------------------------------------


def a_print(*colours):
    return Garment(tuple(GarmentColour(lab, (0.5, 0.5, 0.5), area, KnownBy.PHOTO) for lab, area in colours))


def test_a_print_is_told_by_what_is_near_the_face():
    known, palette = client("warm spring")
    coral, plum = (66.0, 35.0, 30.0), (25.0, 17.0, -8.0)
    mixed = a_print((coral, 0.7), (plum, 0.3))
    both, first, second = (check_garment(palette, known, mixed, near) for near in ((), (1,), (2,)))
    assert first.answer is GarmentAnswer.NEAR_FACE
    assert second.answer is GarmentAnswer.LEAVE
    assert first.suitability > both.suitability > second.suitability
    assert [part.answer for part in both.parts] == [first.answer, second.answer]
    assert [part.near_face for part in first.parts] == [True, False]


def test_more_of_a_colour_that_does_not_suit_makes_a_print_suit_less():
    known, palette = client("warm spring")
    coral, plum = (66.0, 35.0, 30.0), (25.0, 17.0, -8.0)
    found = [
        check_garment(palette, known, a_print((coral, 1 - share), (plum, share))).suitability
        for share in (0.1, 0.3, 0.6, 0.9)
    ]
    assert found == sorted(found, reverse=True)
    assert found[0] > found[-1]


def test_a_print_of_one_colour_twice_is_that_colour():
    known, palette = client("soft autumn")
    lab = (50.0, 12.0, 20.0)
    twice = check_garment(palette, known, a_print((lab, 0.5), (lab, 0.5)))
    once = check_garment(palette, known, a_print((lab, 1.0)))
    assert twice.suitability == pytest.approx(once.suitability, abs=1e-9)
    assert twice.answer is once.answer


def test_the_whites_of_a_print_count_only_where_it_has_nothing_else():
    known, palette = client("warm autumn")
    striped = check_garment(palette, known, a_print(((95.0, 0.0, 6.0), 0.6), ((45.0, 22.0, 32.0), 0.4)))
    plain = check_garment(palette, known, a_print(((45.0, 22.0, 32.0), 1.0)))
    assert striped.suitability == pytest.approx(plain.suitability, abs=1e-9)
    assert striped.answer is plain.answer


def test_a_colour_that_a_print_does_not_have_is_an_error():
    known, palette = client("warm autumn")
    with pytest.raises(TenterError, match=r"colour 3 .* has 2 colours, counted from 1"):
        check_garment(palette, known, a_print(((60.0, 20.0, 30.0), 0.5), ((30.0, 5.0, 5.0), 0.5)), (3,))


# -- from the file alone ---------------------------------------------------------------------------------------------


def test_a_palettes_file_alone_gives_what_the_sitting_gives(demo_sittings, demo_verdicts):
    sitting, verdict = demo_sittings["K5"], demo_verdicts["K5"]
    palette, known = personal_palette(sitting, verdict), known_of(sitting, verdict)
    kept = palette_from(json.loads(json.dumps(palette_document("K5", palette, known))))
    rng = np.random.default_rng(8)
    for _ in range(12):
        garment = from_reading([rng.uniform(20, 90), *rng.uniform(-40, 40, 2)])
        here, there = check_garment(palette, known, garment), check_garment(kept.palette, kept.known, garment)
        assert here.answer is there.answer
        assert there.suitability == pytest.approx(here.suitability, abs=1e-9)
        assert there.interval_90 == pytest.approx(here.interval_90, abs=1e-9)
        assert there.nearest.colour.name == here.nearest.colour.name
        for axis in Axis:
            assert there.off[axis].mean == pytest.approx(here.off[axis].mean, abs=1e-9)


def test_what_was_seen_of_a_colour_is_said(demo_sittings, demo_verdicts):
    sitting, verdict = demo_sittings["K5"], demo_verdicts["K5"]
    palette = personal_palette(sitting, verdict)
    seen = next(c for c in palette.colours if c.cloth)
    found = check_garment(palette, known_of(sitting, verdict), exactly(seen.lab))
    assert found.seen is seen
    assert hue_family(seen.lab) is found.nearest.colour.hue_family


# One colour, one answer: what the strip of staples says on paper, the check of a garment says too.
@pytest.mark.parametrize("category", CATEGORIES)
def test_a_staple_is_answered_as_the_strip_of_the_palette_has_it(category):
    known, palette = client(category)
    for staple in palette.staples:
        check = check_garment(palette, known, from_reading(staple.lab))
        assert (check.answer is GarmentAnswer.NEAR_FACE) == (staple.answer is StapleAnswer.NEAR), staple.name
        if staple.answer is StapleAnswer.AWAY:
            assert check.answer is GarmentAnswer.AWAY, staple.name
        if staple.answer is not StapleAnswer.NEAR and check.nearest.colour.part is Part.WHITE:
            assert not hardly_differs(check.nearest, check.answer)


def test_a_hue_that_the_client_has_no_version_of_is_answered_with_a_colour_of_theirs():
    known, palette = client("cool winter")
    check = check_garment(palette, known, from_reading(TYPICAL_LAB[HueFamily.ORANGE]))
    assert check.instead in {c.name for c in palette.colours}
    assert check_garment(*reversed(client("warm autumn")), from_reading(TYPICAL_LAB[HueFamily.ORANGE])).instead == ""


def test_what_a_method_recommends_is_a_name_that_the_check_knows():
    _, palette = client("cool winter")
    said = {v.instead(side) for v in METHOD.versions.of.values() for side in UndertoneSide} - {""}
    assert said
    for name in {name for words in said for name in re.split(r", | or ", words)}:
        assert len(named_garment(name, palette).colours) == 1
