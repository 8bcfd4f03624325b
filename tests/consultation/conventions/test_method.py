"""Reading a method: every fault named by field, and a practitioner's own file working from end to end."""

import json
import tomllib
from importlib.resources import files
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from typer.testing import CliRunner

from tenter import Answer, Kit, Method, PairJudgement, Sitting, TenterError
from tenter.cli.main import app
from tenter.consultation.axes import Axis
from tenter.consultation.conventions.bundled import BUNDLED
from tenter.errors import UnreadableInput

OWN = Path(__file__).parents[2] / "data" / "own-method.toml"
WHOLE = (files("tenter.consultation") / "data" / "four-by-three.toml").read_text(encoding="utf-8")
EXTENDS = 'extends = "four-by-three"\n'


def fields_of(table, path=()):
    """Yield the place of every field of a TOML document: keys and list positions."""
    for key, value in table.items() if isinstance(table, dict) else enumerate(table):
        if isinstance(table, dict):
            yield (*path, key)
        if isinstance(value, dict) or (isinstance(value, list) and value and isinstance(value[0], dict)):
            yield from fields_of(value, (*path, key))


def one_of_each(paths):
    """Leave out those that differ from an earlier one only in the number of a row: the same code reads them."""
    return list({tuple(step for step in path if isinstance(step, str)): path for path in reversed(paths)}.values())[
        ::-1
    ]


DOCUMENT = tomllib.loads(WHOLE)
FIELDS = one_of_each(list(fields_of(DOCUMENT)))


@pytest.mark.parametrize("name", BUNDLED)
def test_nothing_of_a_bundled_method_is_hardly_meant(name):
    assert Method.bundled(name).warnings == ()


def light_spring(**fields):
    return lambda document: document["categories"][0].update(fields)


@pytest.mark.parametrize(
    ("change", "named"),
    [
        (light_spring(prototype=[-0.55, 1.4, 0.45]), [("categories.prototype", "'spring', a warm season")]),
        (light_spring(prototype=[0.55, -1.4, 0.45]), [("categories.leading_trait", "is −1.40, which is deep")]),
        (light_spring(prototype=[0.55, 0.0, 0.45]), [("categories.leading_trait", "in the middle")]),
        (
            light_spring(trait_neighbour="deep winter"),
            [
                ("categories.trait_neighbour", "'deep winter' by deep"),
                ("categories.trait_neighbour", "names 'deep autumn'"),
                ("categories.trait_neighbour", "'light spring', which names 'deep winter'"),
            ],
        ),
        (
            lambda document: document["seasons"].append({"name": "rain", "undertone": "cool"}),
            [("seasons.name", "'rain'")],
        ),
        (
            lambda document: [phase.update(decides="depth") for phase in document["phases"]],
            [("phases.decides", "depth")],
        ),
        (lambda document: document["phases"][0].update(decides="depth"), []),
        (
            lambda document: document.update(staples=[s for s in document["staples"] if s["name"] != "denim"]),
            [("staples.name", "no row says who wears denim")],
        ),
    ],
)
def test_what_is_hardly_meant_is_read_and_named_by_its_field(change, named):
    document = tomllib.loads(WHOLE)
    change(document)
    warnings = Method.parse(written(document)).warnings
    assert [warning.split(":")[0] for warning in warnings] == [field for field, _ in named]
    assert all(words in warning for warning, (_, words) in zip(warnings, named, strict=True))


@pytest.mark.parametrize("place", range(3))
@pytest.mark.parametrize("value", [3.01, -3.01])
def test_a_prototype_where_no_client_could_be_placed_is_refused(place, value):
    document = tomllib.loads(WHOLE)
    document["categories"][4]["prototype"][place] = value
    with pytest.raises(UnreadableInput, match=r"categories\]\] number 5: field 'prototype': a number from -3 to 3"):
        Method.parse(written(document))


def test_a_doubted_method_is_used_and_the_doubt_said_beside_the_result(tmp_path):
    document = tomllib.loads(WHOLE)
    light_spring(prototype=[-0.55, 1.4, 0.45])(document)
    path = tmp_path / "mine.toml"
    path.write_text(written(document), encoding="utf-8")
    result = CliRunner().invoke(app, ["kit", "show", "--method", str(path)])
    assert result.exit_code == 0
    assert "mine.toml: categories.prototype" in result.stderr
    assert "categories.prototype" not in result.stdout


def as_toml(value):
    """Return a document as TOML, inline tables throughout."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{json.dumps(k)} = {as_toml(v)}" for k, v in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(as_toml(v) for v in value) + "]"
    return json.dumps(value, ensure_ascii=False)


def written(document):
    return "\n".join(f"{json.dumps(key)} = {as_toml(value)}" for key, value in document.items())


def changed(path, change):
    """Return the bundled method's TOML with a change made to the table or list that holds the field at `path`."""
    document = tomllib.loads(WHOLE)
    holder = document
    for step in path[:-1]:
        holder = holder[step]
    change(holder, path[-1])
    return written(document)


# -- whatever comes, only errors that can be shown -----------------------------------------------------------------


def assert_only_tenter_errors(read):
    try:
        method = read()
    except TenterError:
        return
    assert len(method.categories) >= 2


@given(st.text())
def test_arbitrary_text_gives_a_method_or_a_tenter_error(text):
    assert_only_tenter_errors(lambda: Method.parse(text))
    assert_only_tenter_errors(lambda: Method.parse(EXTENDS + text))


@given(st.binary(max_size=100))
def test_arbitrary_bytes_give_a_method_or_a_tenter_error(tmp_path_factory, data):
    path = tmp_path_factory.mktemp("method") / "own.toml"
    path.write_bytes(EXTENDS.encode() + data)
    assert_only_tenter_errors(lambda: Method.read(path))


VALUES = st.recursive(
    st.one_of(st.booleans(), st.integers(-3, 400), st.floats(-9, 9), st.text(max_size=6), st.just("spring")),
    lambda inner: st.one_of(
        st.lists(inner, max_size=4), st.dictionaries(st.sampled_from(["name", "undertone", "x"]), inner, max_size=2)
    ),
    max_leaves=6,
)


@given(st.sampled_from(FIELDS), VALUES)
def test_any_value_in_any_field_gives_a_method_or_a_tenter_error(path, value):
    toml = changed(path, lambda holder, key: holder.__setitem__(key, value))
    assert_only_tenter_errors(lambda: Method.parse(toml))


@pytest.mark.parametrize("toml", ["a = " + "[" * 5000, "a = " + "1" * 5000, "a = 1979-13-01", "= 3", "a = 1\na = 2"])
def test_what_is_not_toml_says_so(toml):
    with pytest.raises(UnreadableInput, match="not TOML"):
        Method.parse(toml)


# -- every field -----------------------------------------------------------------------------------------------------


def test_the_bundled_method_survives_being_written_out():
    method, bundled = Method.parse(written(DOCUMENT)), Method.bundled()
    assert method.regions == bundled.regions
    assert method.phases == bundled.phases
    assert method.readings == bundled.readings
    assert method.undertone_table == bundled.undertone_table
    assert method.staples == bundled.staples


@pytest.mark.parametrize("path", FIELDS, ids=lambda p: ".".join(map(str, p)))
def test_a_field_left_out_is_named(path):
    toml = changed(path, lambda holder, key: holder.pop(key))
    optional = ("leading_trait", "trait_neighbour", "within_family", "hues", "hue_ends", "chroma_ends")
    if path[-1] in (*optional, "palette", "palette_shifts", "staples") or path[-1].endswith(("_least", "_most")):
        assert len(Method.parse(toml).categories) == 12
        return
    with pytest.raises(UnreadableInput) as caught:
        Method.parse(toml, "own.toml")
    missing = path[-1].removesuffix("_instead")  # a side without either is owed its version
    assert f"the field {missing!r} is missing" in str(caught.value)
    assert str(caught.value).startswith("own.toml: ")


@pytest.mark.parametrize("path", FIELDS, ids=lambda p: ".".join(map(str, p)))
def test_a_field_misspelt_is_named(path):
    def misspell(holder, key):
        holder[key + "x"] = holder.pop(key) if key in ("leading_trait", "trait_neighbour") else holder[key]

    with pytest.raises(UnreadableInput, match=f"unknown field '{path[-1]}x'"):
        Method.parse(changed(path, misspell))


@pytest.mark.parametrize("path", FIELDS, ids=lambda p: ".".join(map(str, p)))
def test_a_field_of_the_wrong_kind_is_named(path):
    def replace(holder, key):
        holder[key] = 3 if isinstance(holder[key], dict | list) else {"wrong": "kind"}

    with pytest.raises(UnreadableInput, match=f"field {path[-1]!r}: "):
        Method.parse(changed(path, replace))


PHASE = {
    "id": "all",
    "title": "All",
    "question": "Which?",
    "decides": "season",
    "least": 1,
    "enough": 0.9,
    "most": 3,
}
CATEGORIES = [
    {"name": "one", "season": "spring", "prototype": [1.0, 0.0, 0.0]},
    {"name": "two", "season": "winter", "prototype": [-1.0, 0.0, 0.0]},
]


def extended(**tables):
    return EXTENDS + written(tables)


@pytest.mark.parametrize(
    ("toml", "words"),
    [
        (extended(phases=[]), "at least one phase"),
        (extended(phases=[PHASE | {"least": 4}]), "least (4) must lie between 0 and most (3)"),
        (extended(phases=[PHASE | {"least": -1}]), "least (-1)"),
        (extended(phases=[PHASE | {"least": 1.5}]), "field 'least': a whole number"),
        (extended(phases=[PHASE | {"enough": 0.4}]), "enough (0.4) must be at least 0.5 and below 1"),
        (extended(phases=[PHASE | {"enough": 1.0}]), "enough (1) must be"),
        (extended(phases=[PHASE | {"decides": "colour"}]), "no word is called 'colour'; use undertone, depth, season"),
        (extended(phases=[PHASE, PHASE]), "an id of its own"),
        (extended(phases=[PHASE | {"id": "done"}]), "none may be 'done'"),
        (extended(categories=CATEGORIES[:1]), "two categories"),
        (extended(categories=[CATEGORIES[0], CATEGORIES[0]]), "the same name"),
        (extended(categories=[CATEGORIES[0], CATEGORIES[0] | {"name": "two"}]), "the same prototype"),
        (
            extended(categories=[CATEGORIES[0], CATEGORIES[1] | {"season": "fall"}]),
            "no season (of 'two') is called 'fall'",
        ),
        (extended(categories=[*CATEGORIES[:1], CATEGORIES[1] | {"prototype": [1.0, 2.0]}]), "a list of 3 is needed"),
        (
            extended(categories=[CATEGORIES[0], CATEGORIES[1] | {"trait_neighbour": "six"}]),
            "(of 'two') is called 'six'",
        ),
        (
            extended(categories=[CATEGORIES[0], CATEGORIES[1] | {"trait_neighbour": "two"}]),
            "(of 'two') is called 'two'",
        ),
        (extended(categories=[CATEGORIES[0], CATEGORIES[1] | {"leading_trait": "loud"}]), "no word is called 'loud'"),
        (extended(seasons=[{"name": "a", "undertone": "warm"}] * 2), "two seasons have the name 'a'"),
        (extended(seasons=[{"name": "a", "undertone": "neutral"}]), "no word is called 'neutral'"),
        (extended(flags=["too-loud"]), "no word is called 'too-loud'; use too-warm"),
        (extended(undertone=DOCUMENT["undertone"] | {"hue_table": [[10, 1.0]]}), "at least two entries"),
        (extended(undertone=DOCUMENT["undertone"] | {"hue_table": [[20, 1.0], [10, 0.0]]}), "hues rise"),
        (extended(undertone=DOCUMENT["undertone"] | {"hue_table": [[20, 1.0], [360, 0.0]]}), "hues rise"),
        (extended(undertone=DOCUMENT["undertone"] | {"neutral_chroma": 18.0}), "below full_chroma"),
        (extended(axes=DOCUMENT["axes"] | {"depth": {"centre": 55.0, "unit": 0.0}}), "must be above 0"),
        (extended(planning=DOCUMENT["planning"] | {"most_uses": 0}), "most_uses from 1"),
        (extended(planning=DOCUMENT["planning"] | {"pair_minutes": 0.0}), "minutes must be above 0"),
        (extended(staples=[{"name": "beetroot", "worn": "near"}]), "no staple is called 'beetroot'; use black, navy"),
        (extended(staples=[{"name": "navy", "worn": "swap"}]), "no word is called 'swap'; use near or away"),
        (
            extended(staples=[{"name": "navy", "worn": "near", "depth_least": 1, "depth_most": -1}]),
            "navy has depth_least = 1 above depth_most = -1, where nobody is; exchange the two",
        ),
        (extended(colour="red"), "unknown field 'colour'; use axes, categories"),
        ('extends = "nine-seasons"', "A method can extend four-by-three, depth-first, four-seasons"),
        ("extends = 3", "it extends 3"),
    ],
)
def test_a_faulty_method_says_what_came(toml, words):
    with pytest.raises(UnreadableInput) as caught:
        Method.parse(toml, "own.toml")
    assert words in str(caught.value)
    assert str(caught.value).startswith("own.toml: ")


@pytest.mark.parametrize("name", ["missing.toml", "folder"])
def test_a_method_that_cannot_be_read_says_why(tmp_path, name):
    (tmp_path / "folder").mkdir()
    with pytest.raises(UnreadableInput, match=name):
        Method.read(tmp_path / name)


# -- extending -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("base", BUNDLED)
def test_a_method_that_extends_and_changes_nothing_is_its_base(base):
    method, bundled = Method.parse(f'extends = "{base}"'), Method.bundled(base)
    assert method.name == base
    assert method.regions == bundled.regions
    assert method.phases == bundled.phases


def test_a_table_given_replaces_the_whole_of_the_bases():
    with pytest.raises(UnreadableInput, match="the field 'metal_tint' is missing"):
        Method.parse(EXTENDS + '[readings]\nclarity = "saturation"\n')
    assert [p.id for p in Method.parse(extended(phases=[PHASE])).phases] == ["all"]


def test_a_flag_left_out_of_the_method_is_kept_and_no_evidence(demo_kit):
    deaf = Method.parse(EXTENDS + 'flags = ["too-light"]\n')
    plain, flagged = (
        Sitting(demo_kit, deaf).record_all([PairJudgement("D063", "D064", Answer.LEFT, flags=flags)])
        for flags in ((), ("D064:too-cool",))
    )
    assert flagged.probabilities() == plain.probabilities()
    assert [str(f) for f in flagged.entries[0].judgement.flags] == ["D064:too-cool"]
    heard = Sitting(demo_kit, Method.bundled()).record_all([flagged.entries[0].judgement])
    assert heard.probabilities() != pytest.approx(plain.probabilities(), abs=0.01)


def test_the_readings_are_read(demo_kit):
    readings = DOCUMENT["readings"]
    plain = Method.bundled().coordinates(demo_kit)
    no_metal = Method.parse(extended(readings=readings | {"metal_tint": False})).coordinates(demo_kit)
    metals = [demo_kit.row(i) for i in ("D089", "D090", "D091")]
    assert_allclose(no_metal[metals, 0], 0)
    assert_allclose(np.delete(no_metal, metals, axis=0), np.delete(plain, metals, axis=0))
    saturated = Method.parse(extended(readings=readings | {"clarity": "saturation"})).coordinates(demo_kit)
    # Two cloths of C* 30 and h 40, light and dark: darker reads as stronger under the saturation reading alone.
    lab = [[lightness, 30 * np.cos(np.radians(40)), 30 * np.sin(np.radians(40))] for lightness in (75, 30)]
    two = Kit.from_lab(["light", "dark"], lab)
    assert np.ptp(Method.bundled().coordinates(two)[:, 2]) < 1e-9
    light, dark = Method.parse(extended(readings=readings | {"clarity": "saturation"})).coordinates(two)[:, 2]
    assert dark > light + 0.5
    assert not np.allclose(saturated[:, 2], plain[:, 2])
    assert_allclose(saturated[:, :2], plain[:, :2])


# -- a practitioner's own ------------------------------------------------------------------------------------------


def test_a_practitioners_method_works_from_end_to_end(demo_kit):
    method = Method.read(OWN)
    assert method.categories == ("birch", "oak", "maple", "larch", "yew")
    assert method.seasons == ("broadleaf", "conifer")
    sitting = Sitting(demo_kit, method, seed=3)
    where = dict(zip(demo_kit.ids, method.coordinates(demo_kit), strict=True))
    phases = [sitting.phase]
    theta = np.array([-0.9, 0.8, -0.4])
    while sitting.phase != "done":
        left, right = sitting.propose()
        gain = np.sum((where[right] - theta) ** 2 - (where[left] - theta) ** 2) / 2
        answer = Answer.NOTHING_SEEN if abs(gain) < 0.35 else Answer.LEFT if gain > 0 else Answer.RIGHT
        sitting.record(PairJudgement(left, right, answer, 2 if abs(gain) > 1.2 else 1))
        phases.append(sitting.phase)
    assert list(dict.fromkeys(phases)) == ["leaf", "bark", "wood", "done"]
    verdict = sitting.verdict()
    assert (verdict.category, verdict.season, verdict.trait_neighbour) == ("larch", "conifer", "oak")
    assert verdict.leading_trait == "cool"
    assert verdict.traits[Axis.UNDERTONE].mean < 0
    assert sum(verdict.probabilities.values()) == pytest.approx(1, abs=1e-9)
    assert sitting.palette().entries


def test_a_category_without_a_leading_trait_takes_the_second_route(demo_kit):
    bright = [PairJudgement("D073", "D075", Answer.LEFT, 3), PairJudgement("D076", "D078", Answer.LEFT, 3)]
    warm = [PairJudgement("D063", "D064", Answer.LEFT), PairJudgement("D079", "D081", Answer.LEFT, 3)]
    verdict = Sitting(demo_kit, Method.read(OWN)).record_all([*bright, *warm]).verdict()
    assert verdict.category == "maple"
    assert verdict.trait_neighbour is None
    assert verdict.leading_trait == verdict.second_route
    assert not verdict.neighbours_differ


def test_a_practitioners_method_serves_the_command_line(tmp_path):
    ledger = tmp_path / "judgements.csv"
    ledger.write_bytes((files("tenter.demo_studio") / "judgements.csv").read_bytes())
    arguments = ["sit", "--replay", str(ledger), "--client", "K3", "--method", str(OWN), "--json"]
    result = CliRunner().invoke(app, arguments, catch_exceptions=False)
    assert result.exit_code == 0
    document = json.loads(result.stdout)
    assert document["method"] == "five-woods"
    assert set(document["probabilities"]) == {"birch", "oak", "maple", "larch", "yew"}
