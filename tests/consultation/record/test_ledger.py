"""Reading a ledger: each row a judgement, every fault named by row and column, and nothing half-loaded."""

import csv
import io
from collections import Counter

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
    Source,
    Suits,
    TenterError,
    View,
    VoidEntry,
)
from tenter.consultation.record.ledger import (
    LEDGER_OPTIONAL,
    LEDGER_REQUIRED,
    judgements_of_client,
    parse_ledger,
    read_ledger,
)
from tenter.consultation.words.flags import Flag, Sign
from tenter.errors import UnreadableInput

KIT = Kit.demo()
COLUMNS = [*LEDGER_REQUIRED, *LEDGER_OPTIONAL]
HEADER = ",".join(COLUMNS)
WORDS = st.text(st.characters(categories=["L", "N"], include_characters=" .,;'-"), max_size=12).map(str.strip)
CLOTHS = st.sampled_from(KIT.ids)


def row(**cells):
    return {"client": "A", "step": "1", "kind": "pair", "cloths": "D063 D064", "answer": "D063"} | cells


def as_csv(*rows):
    out = io.StringIO()
    writer = csv.DictWriter(out, COLUMNS)
    writer.writeheader()
    writer.writerows(rows)
    return out.getvalue()


def judged(**cells):
    [found] = parse_ledger(as_csv(row(**cells)), KIT)
    return found.judgement


# -- whatever comes, only errors that can be shown -----------------------------------------------------------------


def assert_only_tenter_errors(read):
    try:
        rows = read()
    except TenterError:
        return
    assert all(r.client and r.judgement is not None for r in rows)


@given(st.text())
def test_arbitrary_text_gives_rows_or_a_tenter_error(text):
    assert_only_tenter_errors(lambda: parse_ledger(text, KIT))


PIECES = [
    "pair",
    "fan",
    "single",
    "combination",
    "preference",
    "void",
    "garment",
    "earlier",
    "D063",
    "D064",
    "+",
    ">",
    "=",
    " ",
    ":",
    "left",
]
CELLS = st.one_of(
    st.text(max_size=6),
    st.lists(st.sampled_from([*PIECES, *Flag, *Sign, *Answer, *Suits, "better ", "softer", "1", "2"]), max_size=6).map(
        "".join
    ),
)


@given(st.lists(CELLS, min_size=len(COLUMNS), max_size=len(COLUMNS)), st.sampled_from(["", *PIECES[:8]]))
def test_arbitrary_cells_give_rows_or_a_tenter_error(cells, kind):
    given_row = dict(zip(COLUMNS, cells, strict=True)) | ({"kind": kind} if kind else {})
    assert_only_tenter_errors(lambda: parse_ledger(as_csv(given_row), KIT))


@given(st.binary(max_size=200))
def test_arbitrary_bytes_give_rows_or_a_tenter_error(tmp_path_factory, data):
    path = tmp_path_factory.mktemp("ledger") / "judgements.csv"
    path.write_bytes(HEADER.encode() + b"\n" + data)
    assert_only_tenter_errors(lambda: read_ledger(path, KIT))


# -- a valid ledger ------------------------------------------------------------------------------------------------


@st.composite
def pair_rows(draw):
    left, right = draw(st.lists(CLOTHS, min_size=2, max_size=2, unique=True))
    return row(
        client=draw(WORDS.filter(bool)),
        step=draw(WORDS),
        phase=draw(WORDS),
        cloths=f"{left} {right}",
        answer=draw(st.sampled_from([left, right, *(a for a in Answer if a.is_equal)])),
        strength=draw(st.sampled_from(["", "1", "2", "3"])),
        view=draw(st.sampled_from(["", *View])),
        flags=draw(st.sampled_from(["", *(f"{left}:{f} {right}:clarity-right" for f in Flag)])),
        signs=draw(st.sampled_from(["", *(f"{right}:{s}" for s in Sign)])),
        region=draw(WORDS),
        source=draw(st.sampled_from(["", *Source])),
        minute=draw(st.sampled_from(["", "0", "12.5"])),
        note=draw(WORDS),
    )


@given(st.lists(pair_rows(), min_size=1, max_size=5))
def test_a_valid_ledger_reads_back_cell_by_cell(rows):
    found = parse_ledger(as_csv(*rows), KIT)
    assert len(found) == len(rows)
    for cells, got in zip(rows, found, strict=True):
        judgement = got.judgement
        left, right = cells["cloths"].split()
        assert (got.client, got.step, got.phase) == (cells["client"], cells["step"], cells["phase"])
        assert judgement.sides == ((left,), (right,))
        named = {left: "left", right: "right"}
        assert judgement.answer == named.get(cells["answer"], cells["answer"])
        assert judgement.strength == int(cells["strength"] or 1)
        assert judgement.view == (cells["view"] or "alternate")
        assert judgement.source == (cells["source"] or "analyst")
        assert " ".join(map(str, judgement.flags)) == cells["flags"]
        assert " ".join(map(str, judgement.signs)) == cells["signs"]
        assert judgement.region == (cells["region"] or None)
        assert judgement.minute == (float(cells["minute"]) if cells["minute"] else None)
        assert judgement.note == cells["note"]


@pytest.mark.parametrize(
    ("cells", "judgement"),
    [
        ({}, PairJudgement("D063", "D064", Answer.LEFT)),
        ({"answer": "both-good", "view": "split"}, PairJudgement("D063", "D064", Answer.BOTH_GOOD, view="split")),
        (
            {"kind": "combination", "cloths": "D040+D003 D040+D013", "answer": "D040+D013", "strength": "2"},
            PairJudgement(("D040", "D003"), ("D040", "D013"), Answer.RIGHT, 2),
        ),
        (
            {"kind": "fan", "cloths": "D073 D074 D075", "answer": "D074 > D073 = D075"},
            FanJudgement(("D074", ("D073", "D075"))),
        ),
        (
            {"kind": "fan", "cloths": "D001+D002 D003 D004+D005", "answer": "D003 > D004+D005=D001+D002"},
            FanJudgement(("D003", (Group(("D004", "D005")), Group(("D001", "D002"))))),
        ),
        ({"kind": "single", "cloths": "D092", "answer": "fails"}, DrapeJudgement("D092", Suits.FAILS)),
        ({"kind": "single", "cloths": "D092+D089", "answer": "works"}, DrapeJudgement(("D092", "D089"), Suits.WORKS)),
        ({"kind": "preference", "answer": "D064", "source": "client"}, Preference("D064", "D063", source="client")),
        ({"kind": "preference", "cloths": "D064", "answer": ""}, Preference("D064")),
        ({"kind": "void", "answer": "", "note": "wrong cloth"}, VoidEntry(("D063", "D064"), note="wrong cloth")),
        (
            {"kind": "garment", "cloths": "D074", "answer": "better brighter warmer: own scarf: the red one"},
            GarmentJudgement("D074", ("brighter", "warmer"), True, "own scarf: the red one"),
        ),
        (
            {"kind": "garment", "cloths": "D074", "answer": "worse softer"},
            GarmentJudgement("D074", ("softer",), False),
        ),
        (
            {"kind": "earlier", "cloths": "", "answer": "light spring: another school", "note": "told at the door"},
            EarlierResult("light spring", "another school", note="told at the door"),
        ),
        ({"kind": "earlier", "cloths": "", "answer": "light spring"}, EarlierResult("light spring")),
    ],
)
def test_each_kind_of_row(cells, judgement):
    assert judged(**cells) == judgement


# -- one fault at a time -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("cells", "column", "words"),
    [
        ({"client": ""}, "client", "name the client"),
        (
            {"kind": "Pair"},
            "kind",
            "use pair, combination, fan, single, preference, void, garment, earlier, verdict or show",
        ),
        ({"cloths": "D063"}, "cloths", "two cloths are needed"),
        ({"cloths": "D063 D064 D065"}, "cloths", "two cloths are needed"),
        ({"cloths": "D063 D063"}, "cloths", "D063 was compared with itself"),
        ({"cloths": "D063 D999"}, "cloths", "no cloth in this kit is called 'D999'"),
        ({"cloths": "D063+ D064"}, "answer", "no answer is called 'D063'"),
        ({"answer": "better"}, "answer", "use D063, D064, nothing-seen, both-good or both-wrong"),
        ({"answer": ""}, "answer", "no answer was given"),
        ({"strength": "4"}, "strength", "1, 2 or 3 is needed, got '4'"),
        ({"strength": "strongly"}, "strength", "1, 2 or 3"),
        ({"view": "sideways"}, "view", "use alternate, split or photograph"),
        ({"source": "mother"}, "source", "use analyst, client or third"),
        ({"minute": "soon"}, "minute", "'soon' is not understood"),
        ({"minute": "nan"}, "minute", "'nan' is not understood"),
        ({"flags": "D063"}, "flags", "write the cloth and the word"),
        ({"flags": "D063:too-loud"}, "flags", "no flag is called 'too-loud'; use too-warm, too-cool"),
        ({"signs": "D063:sad"}, "signs", "no sign is called 'sad'; use even, blotchy"),
        ({"kind": "fan", "cloths": "D073 D074 D075", "answer": "D073 > D074"}, "cloths", "at least three"),
        ({"kind": "fan", "cloths": "D073 D074 D075", "answer": "D073>D074>D076"}, "answer", "does not name the cloths"),
        ({"kind": "fan", "cloths": "D073 D074 D075", "answer": "D073>D073>D075"}, "cloths", "names a cloth twice"),
        (
            {"kind": "fan", "cloths": "D073 D074 D075", "answer": "D073>>D075"},
            "cloths",
            "a ranking is a tuple",
        ),
        ({"kind": "single", "answer": "works"}, "cloths", "one cloth is needed"),
        ({"kind": "single", "cloths": "D092", "answer": "left"}, "answer", "use works, tolerable or fails"),
        ({"kind": "preference", "answer": "D001"}, "answer", "one of the cloths held is needed"),
        ({"kind": "void", "cloths": ""}, "cloths", "a side is a cloth's id"),
        (
            {"kind": "fan", "cloths": "D001+D002 D3 D4", "answer": "D001 > D3 > D4"},
            "answer",
            "does not name the cloths",
        ),
        ({"kind": "fan", "cloths": "D001+D999 D003 D004", "answer": "D003>D001+D999>D004"}, "cloths", "'D999'"),
        (
            {"kind": "garment", "answer": "better softer"},
            "cloths",
            "name the one cloth that the garment was compared with",
        ),
        (
            {"kind": "garment", "cloths": "D999", "answer": "better softer"},
            "cloths",
            "no cloth in this kit is called 'D999'",
        ),
        (
            {"kind": "garment", "cloths": "D074", "answer": "softer"},
            "answer",
            "no answer is called 'softer'; use better or worse",
        ),
        ({"kind": "garment", "cloths": "D074", "answer": ""}, "answer", "no answer was given; use better or worse"),
        ({"kind": "garment", "cloths": "D074", "answer": "better"}, "answer", "how the garment differs"),
        ({"kind": "garment", "cloths": "D074", "answer": "better louder"}, "answer", "use warmer, cooler, lighter"),
        ({"kind": "earlier", "answer": "light spring"}, "cloths", "no cloth is held for an earlier result"),
        ({"kind": "earlier", "cloths": "", "answer": ": a book"}, "answer", "an earlier result names a category"),
    ],
)
def test_a_fault_is_named_by_row_and_column(cells, column, words):
    with pytest.raises(UnreadableInput) as caught:
        parse_ledger(as_csv(row(), row(**cells)), KIT, "my ledger")
    assert f"my ledger: row 3, column {column}: " in str(caught.value)
    assert words in str(caught.value)
    assert "Nothing was loaded" in str(caught.value)


@pytest.mark.parametrize(
    ("flags", "words"),
    [("D001:too-warm", "a cloth that was not held"), ("D063:too-warm D063:too-cool", "contradict each other")],
)
def test_flags_that_cannot_stand_name_their_row(flags, words):
    with pytest.raises(UnreadableInput, match=words) as caught:
        parse_ledger(as_csv(row(flags=flags)), KIT)
    assert "row 2, column " in str(caught.value)


def test_every_fault_is_said_at_once():
    with pytest.raises(UnreadableInput) as caught:
        parse_ledger(as_csv(row(kind="x"), row(), row(answer="x"), row(client="")), KIT)
    assert [str(caught.value).count(f"row {n}, ") for n in (2, 3, 4, 5)] == [1, 0, 1, 1]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "the file is empty"),
        ("client,step,kind,cloths\nA,1,pair,D063 D064\n", "missing column(s): 'answer'"),
        (f"{HEADER},mood\n", "unknown column(s): 'mood'"),
        (f"{HEADER.replace(',', ';')}\n", "separated by semicolons"),
    ],
)
def test_a_faulty_table_says_what_came(text, words):
    with pytest.raises(UnreadableInput) as caught:
        parse_ledger(text, KIT)
    assert words in str(caught.value)


def test_a_ledger_with_a_byte_order_mark_is_read(tmp_path):
    (tmp_path / "judgements.csv").write_text("\ufeff" + as_csv(row()), encoding="utf-8")
    assert len(read_ledger(tmp_path / "judgements.csv", KIT)) == 1


# -- clients -------------------------------------------------------------------------------------------------------


def test_the_demo_ledger_holds_the_studios_entries(demo_judgements):
    assert {c: len(j) for c, j in demo_judgements.items()} == {"K1": 13, "K2": 11, "K3": 10, "K4": 14, "K5": 40}
    kinds = Counter(type(j).__name__ for j in demo_judgements["K5"])
    assert kinds == {"PairJudgement": 32, "FanJudgement": 3, "DrapeJudgement": 3, "Preference": 1, "VoidEntry": 1}


def test_an_unknown_client_names_those_there_are():
    rows = parse_ledger(as_csv(row(client="Ada"), row(client="Bo"), row(client="Ada")), KIT)
    assert len(judgements_of_client(rows, "Ada")) == 2
    with pytest.raises(UnreadableInput, match="The clients in it are Ada and Bo"):
        judgements_of_client(rows, "Cy")
