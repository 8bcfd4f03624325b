"""Whatever a script hands over: what is none of it raises `TenterError`, and nothing foolish is taken in silence."""

import math

import numpy as np
import pytest

import tenter
from tenter.consultation.words.answers import Relative
from tenter.errors import TenterError
from tenter.inference.lattice import Styles

KIT, METHOD = tenter.Kit.demo(), tenter.Method.bundled()
FIRST, SECOND, THIRD = KIT.ids[:3]
# Of each kind, and each of them wrong wherever one thing of a certain kind is asked for.
JUNK = [
    None,
    math.nan,
    math.inf,
    -1,
    1.5,
    10**400,
    True,
    "",
    "nonsense\ud800",
    b"D001",
    [],
    {},
    object(),
    np.array([1, 2]),
    [None],
    [[1, 2, 3], [4]],
    print,
]
NUMBERS_FIT = [-1, 1.5, True]


def lab(*values):
    return tenter.Kit.from_lab(["a"], [list(values)])


def pair(**remarks):
    return tenter.PairJudgement(FIRST, SECOND, tenter.Answer.LEFT, **remarks)


def sitting():
    return tenter.Sitting(KIT, METHOD)


def one_entry():
    found = sitting()
    found.record(pair())
    return found


def face(region=(60, 9, 15), interval=((59, 61), (8, 10), (14, 16)), **more):
    chin = {"lab": list(region), "lab_interval_90": [list(i) for i in interval]}
    head = {"accepted": True, "basis": "chart", "illuminant": "D65", "observer": "2"}
    return tenter.Face.from_json({**head, "regions": {"chin": chin}, **more})


# What is called, and the junk that is none there.
CALLS = {
    "Kit.read": (tenter.Kit.read, []),
    "Kit.parse": (tenter.Kit.parse, []),
    "Kit": (lambda junk: tenter.Kit(junk, KIT.colours), []),
    "Kit, colours": (lambda junk: tenter.Kit(KIT.drapes, junk), []),
    "from_lab, ids": (lambda junk: tenter.Kit.from_lab(junk, [[50, 0, 0]]), []),
    "from_lab, lab": (lambda junk: tenter.Kit.from_lab(["a"], junk), []),
    "from_lab, L*": (lambda junk: lab(junk, 0, 0), [1.5, True]),
    "from_lab, b*": (lambda junk: lab(50, 0, junk), NUMBERS_FIT),
    "from_lab, hue_families": (lambda junk: tenter.Kit.from_lab(["a"], [[50, 0, 0]], junk), [None]),
    "from_lab, groups": (lambda junk: tenter.Kit.from_lab(["a"], [[50, 0, 0]], None, junk), [None, [None]]),
    "from_lab, a group": (lambda junk: tenter.Kit.from_lab(["a"], [[50, 0, 0]], None, [junk]), [None, ""]),
    "from_lab, illuminant": (lambda junk: tenter.Kit.from_lab(["a"], [[50, 0, 0]], illuminant=junk), []),
    "from_lab, observer": (lambda junk: tenter.Kit.from_lab(["a"], [[50, 0, 0]], observer=junk), []),
    "from_lab, undertone": (lambda junk: tenter.Kit.from_lab(["a"], [[50, 0, 0]], undertone=junk), [None, {}, [None]]),
    "from_lab, one undertone": (
        lambda junk: tenter.Kit.from_lab(["a"], [[50, 0, 0]], undertone={"a": junk}),
        [None, -1, 1.5],
    ),
    "kit[...]": (lambda junk: KIT[junk], []),
    "Method.read": (tenter.Method.read, []),
    "Method.parse": (tenter.Method.parse, []),
    "Method.bundled": (tenter.Method.bundled, []),
    "category_at": (METHOD.category_at, []),
    "category_at, one of three": (lambda junk: METHOD.category_at([0, junk, 0]), NUMBERS_FIT),
    "coordinates": (METHOD.coordinates, []),
    "region": (METHOD.region, []),
    "Sitting, kit": (lambda junk: tenter.Sitting(junk, METHOD), []),
    "Sitting, method": (lambda junk: tenter.Sitting(KIT, junk), []),
    "Sitting, seed": (lambda junk: tenter.Sitting(KIT, METHOD, seed=junk), [10**400]),
    "Sitting, face": (lambda junk: tenter.Sitting(KIT, METHOD, face=junk), [None]),
    "Sitting, analyst_prior": (lambda junk: tenter.Sitting(KIT, METHOD, analyst_prior=junk), [None]),
    "Sitting, face_prior": (lambda junk: tenter.Sitting(KIT, METHOD, face_prior=junk), []),
    "Styles": (lambda junk: Styles(junk, (1.0,), (1.0,)), []),
    "Styles, one": (lambda junk: Styles((junk,), (1.0,), (1.0,)), [1.5, True]),
    "look_at": (lambda junk: sitting().look_at(junk), [None]),
    "read_under": (lambda junk: sitting().read_under(junk), []),
    "record": (lambda junk: sitting().record(junk), []),
    "record_all": (lambda junk: sitting().record_all(junk), [[], {}]),
    "void, number": (lambda junk: one_entry().void(junk, "a wrong cloth"), []),
    "void, reason": (lambda junk: one_entry().void(1, junk), []),
    "set_aside": (lambda junk: sitting().set_aside(junk), []),
    "phase_of": (lambda junk: one_entry().phase_of(junk), []),
    "PairJudgement, left": (lambda junk: tenter.PairJudgement(junk, SECOND, tenter.Answer.LEFT), []),
    "PairJudgement, answer": (lambda junk: tenter.PairJudgement(FIRST, SECOND, junk), []),
    "strength": (lambda junk: pair(strength=junk), []),
    "flags": (lambda junk: pair(flags=junk), [[], {}]),
    "signs": (lambda junk: pair(signs=junk), [[], {}]),
    "region of an entry": (lambda junk: pair(region=junk), [None, ""]),
    "view": (lambda junk: pair(view=junk), []),
    "source": (lambda junk: pair(source=junk), []),
    "minute": (lambda junk: pair(minute=junk), [None, 1.5]),
    "note": (lambda junk: pair(note=junk), [""]),
    "FanJudgement": (tenter.FanJudgement, []),
    "FanJudgement, a rank": (lambda junk: tenter.FanJudgement((junk, SECOND, THIRD)), []),
    "FanJudgement, a tie": (lambda junk: tenter.FanJudgement(((FIRST, junk), SECOND, THIRD)), []),
    "Group": (tenter.Group, []),
    "DrapeJudgement, cloth": (lambda junk: tenter.DrapeJudgement(junk, tenter.Suits.WORKS), []),
    "DrapeJudgement, answer": (lambda junk: tenter.DrapeJudgement(FIRST, junk), []),
    "Preference": (tenter.Preference, []),
    "Preference, over": (lambda junk: tenter.Preference(FIRST, junk), [None]),
    "VoidEntry": (tenter.VoidEntry, []),
    "GarmentJudgement, than": (lambda junk: tenter.GarmentJudgement(junk, (Relative.WARMER,), True), []),
    "GarmentJudgement, words": (lambda junk: tenter.GarmentJudgement(FIRST, junk, True), []),
    "GarmentJudgement, better": (lambda junk: tenter.GarmentJudgement(FIRST, (Relative.WARMER,), junk), [True]),
    "EarlierResult": (tenter.EarlierResult, []),
    "EarlierResult, method": (lambda junk: tenter.EarlierResult("light spring", junk), [""]),
    "ConsultantVerdict": (tenter.ConsultantVerdict, []),
    "ConsultantVerdict, method": (lambda junk: tenter.ConsultantVerdict("light spring", junk), [""]),
    "ConsultantVerdict, reason": (lambda junk: tenter.ConsultantVerdict("light spring", note=junk), [""]),
    "Showing, answer": (lambda junk: tenter.Showing(junk, FIRST), []),
    "Showing, cloth": (lambda junk: tenter.Showing("best", junk), []),
    "Showing, brought": (lambda junk: tenter.Showing("best", brought=junk, name="blazer"), []),
    "Showing, name": (lambda junk: tenter.Showing("best", brought="garment", name=junk), []),
    "Face.read": (tenter.Face.read, []),
    "Face.from_json": (tenter.Face.from_json, []),
    "Face, Lab": (lambda junk: face((60, junk, 15)), [-1, 1.5]),
    "Face, interval": (lambda junk: face(interval=((59, 61), (8, junk), (14, 16))), []),
    "Face, ITA": (lambda junk: face(ita_degrees={"value": junk, "class": "tan"}), [-1, 1.5]),
    "Face, photographs": (lambda junk: face(photographs=junk), [None, []]),
}


@pytest.mark.parametrize("name", CALLS)
def test_what_is_of_the_wrong_kind_raises_an_error_that_can_be_shown(name):
    call, fits = CALLS[name]
    for junk in JUNK:
        if any(junk is fit or (type(junk) is type(fit) and junk == fit) for fit in fits):
            call(junk)
            continue
        with pytest.raises(TenterError) as raised:
            call(junk)
        assert str(raised.value).encode("utf-8")
        assert len(str(raised.value)) < 1000


@pytest.mark.parametrize(
    ("call", "named"),
    [
        (lambda: lab(150, 0, 0), "L*"),
        (lambda: lab(-1, 0, 0), "L*"),
        (lambda: lab(50, 900, 0), "a*"),
        (lambda: lab(50, 0, -151), "b*"),
        (lambda: lab("50", "0", "0"), "numbers"),
        (lambda: METHOD.category_at([0, 0]), "three numbers"),
        (lambda: METHOD.category_at([[0, 0, 0]]), "three numbers"),
        (lambda: tenter.Sitting(KIT, METHOD, seed=-1), "seed"),
        (lambda: tenter.Sitting(KIT, "four-by-three"), "tenter.Method.bundled"),
        (lambda: tenter.Sitting("drapes.csv", METHOD), "tenter.Kit.read"),
        (lambda: pair(minute=-0.5), "minute"),
        (lambda: pair(strength=4), "strength"),
        (lambda: face((160, 9, 15)), "L*"),
        (lambda: face(interval=((61, 59), (8, 10), (14, 16))), "interval"),
    ],
)
def test_what_is_out_of_range_is_refused_by_name(call, named):
    with pytest.raises(TenterError) as raised:
        call()
    assert named in str(raised.value)


def test_what_fits_is_taken_whatever_numpy_calls_it():
    kit = tenter.Kit.from_lab(np.array(["1", "2"]), np.array([[100.5, 0, 0], [0, 0, 0]], dtype=np.float32))
    assert kit.ids == ("1", "2")
    assert tenter.Kit.from_lab(range(2), [[50, 0, 0], [60, 0, 0]]).ids == ("0", "1")
    assert tenter.Sitting(kit, METHOD, seed=np.int64(3)).seed == 3
    assert pair(minute=np.float32(1.5), strength=np.int64(2)).strength == 2
    assert METHOD.category_at(METHOD.prototypes[3]) == METHOD.categories[3]


def test_a_refused_entry_leaves_the_record_as_it_was():
    found = one_entry()
    for refused in (None, "left"):
        with pytest.raises(TenterError):
            found.record(refused)
    assert len(found.events) == 1
