"""Writing a ledger: what is written reads back as it went, whatever kind of judgement it is."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tenter import (
    Answer,
    DrapeJudgement,
    EarlierResult,
    FanJudgement,
    GarmentJudgement,
    Group,
    Kit,
    PairJudgement,
    Preference,
    Showing,
    Source,
    Suits,
    TenterError,
    View,
    VoidEntry,
    Worth,
)
from tenter.consultation.record.ledger import LedgerRow, demo_ledger, parse_ledger, read_ledger
from tenter.consultation.record.ledger_writing import ledger_text, write_ledger
from tenter.consultation.words.answers import Brought, Relative
from tenter.consultation.words.flags import Flag, Sign

KIT = Kit.demo()
# What an analyst may type, commas, quotes, colons and line breaks included; a cell keeps no space around it.
TEXTS = st.text(st.characters(categories=["L", "N", "P", "S"], include_characters=" \n"), max_size=20).map(str.strip)
CLOTHS = st.lists(st.sampled_from(KIT.ids), min_size=10, max_size=10, unique=True)


def sides(cloths, sizes):
    """Return sides of the given sizes out of a list of cloths, none used twice."""
    rest = iter(cloths)
    taken = [tuple(next(rest) for _ in range(size)) for size in sizes]
    return [side[0] if len(side) == 1 else side for side in taken]


def remarks_on(cloths):
    """Return remarks such as any judgement of these cloths may carry."""
    held = st.sampled_from(cloths) if cloths else st.nothing()
    on = {
        "flags": st.lists(st.builds("{}:{}".format, held, st.sampled_from(Flag)), max_size=1 if cloths else 0),
        "signs": st.lists(st.builds("{}:{}".format, held, st.sampled_from(Sign)), max_size=3 if cloths else 0),
    }
    return st.fixed_dictionaries(
        {
            **{name: remarks.map(tuple) for name, remarks in on.items()},
            "region": st.none() | TEXTS.filter(bool),
            "view": st.sampled_from(View),
            "source": st.sampled_from(Source),
            "minute": st.none() | st.floats(0, 600),
            "note": TEXTS,
        }
    )


@st.composite
def pairs(draw, cloths):
    left, right = sides(cloths, draw(st.tuples(st.integers(1, 3), st.integers(1, 3))))
    answer, strength = draw(st.sampled_from(Answer)), draw(st.sampled_from([1, 2, 3]))
    return lambda remarks: PairJudgement(left, right, answer, strength, **remarks)


@st.composite
def fans(draw, cloths):
    sizes = draw(st.lists(st.integers(1, 2), min_size=3, max_size=5))
    steps = [Group(s) if isinstance(s, tuple) else s for s in sides(cloths, sizes)]
    first, second = sorted(draw(st.tuples(st.integers(0, len(steps)), st.integers(0, len(steps)))))
    tied = [tuple(steps[first:second])] if second > first else []
    return lambda remarks: FanJudgement((*steps[:first], *tied, *steps[second:]), **remarks)


@st.composite
def singles(draw, cloths):
    [drape] = sides(cloths, [draw(st.integers(1, 3))])
    suits = draw(st.sampled_from(Suits))
    return lambda remarks: DrapeJudgement(drape, suits, **remarks)


@st.composite
def preferences(draw, cloths):
    liked, over = sides(cloths, draw(st.tuples(st.integers(1, 3), st.integers(1, 3))))
    named = draw(st.booleans())
    return lambda remarks: Preference(liked, over if named else None, **remarks)


@st.composite
def voids(draw, cloths):
    held = tuple(cloths[: draw(st.integers(1, 4))])
    return lambda remarks: VoidEntry(held, **remarks)


@st.composite
def garments(draw, cloths):
    relative = tuple(draw(st.lists(st.sampled_from(Relative), min_size=1, max_size=3, unique=True)))
    better, garment = draw(st.booleans()), draw(TEXTS)
    return lambda remarks: GarmentJudgement(cloths[0], relative, better, garment, **remarks)


@st.composite
def earlier(draw, cloths):
    category = draw(st.sampled_from(["light spring", "deep winter", "Typ III"]))
    method = draw(TEXTS)
    return lambda remarks: EarlierResult(category, method, **remarks)


@st.composite
def showings(draw, cloths):
    worth, brought = draw(st.sampled_from(Worth)), draw(st.none() | st.sampled_from(Brought))
    name = draw(TEXTS.filter(bool)) if brought else ""
    return lambda remarks: Showing(worth, "" if brought else cloths[0], brought, name, **remarks)


KINDS = [pairs, fans, singles, preferences, voids, garments, earlier, showings]


@st.composite
def judgements(draw, kind):
    cloths = draw(CLOTHS)
    make = draw(kind(cloths))
    return make(draw(remarks_on(make({}).cloths)))


@pytest.mark.parametrize("kind", KINDS, ids=lambda k: k.__name__)
@given(data=st.data())
def test_what_is_written_reads_back_as_it_went(kind, data):
    row = LedgerRow("Ada", data.draw(TEXTS), data.draw(TEXTS), data.draw(judgements(kind)))
    assert parse_ledger(ledger_text([row]), KIT) == [row]


def test_the_demo_ledger_is_written_and_read_as_a_file(tmp_path):
    rows = demo_ledger(KIT)
    write_ledger(tmp_path / "judgements.csv", rows)
    assert read_ledger(tmp_path / "judgements.csv", KIT) == rows
    first = (tmp_path / "judgements.csv").read_bytes().split(b"\n")[0]
    assert first == b"client,step,kind,cloths,answer,phase,view,strength,flags,signs,region,source,minute,note"


def test_space_around_a_text_is_not_kept():
    entry = GarmentJudgement("D074", ("softer",), False, " coat ", note=" tried twice\n", region="  ")
    [found] = parse_ledger(ledger_text([LedgerRow(" Ada ", "1 ", " border", entry)]), KIT)
    assert found == LedgerRow(
        "Ada", "1", "border", GarmentJudgement("D074", ("softer",), False, "coat", note="tried twice")
    )


@pytest.mark.parametrize(
    ("client", "judgement", "words"),
    [
        ("", Preference("D063"), "name the client"),
        ("Ada", EarlierResult("type: light", "a book"), "cannot be put in a row of a ledger"),
        ("Ada", PairJudgement("D063+D064", "D065", "left"), "cannot be put in a row"),
        ("Ada", PairJudgement("both-good", "D065", "left"), "cannot be put in a row"),
        ("Ada", DrapeJudgement("a cloth", "works"), "one cloth is needed"),
    ],
)
def test_what_no_row_can_hold_is_refused_and_nothing_is_written(client, judgement, words, tmp_path):
    rows = [LedgerRow("Ada", "1", "", Preference("D063")), LedgerRow(client, "2", "", judgement)]
    with pytest.raises(TenterError, match=words):
        write_ledger(tmp_path / "judgements.csv", rows)
    assert not (tmp_path / "judgements.csv").exists()
