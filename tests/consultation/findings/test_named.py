"""The result as the consultant names it: kept beside the odds, which it never moves."""

import json

import pytest
from typer.testing import CliRunner

from tenter import ConsultantVerdict, Kit, Method, Sitting, TenterError
from tenter.cli.main import app
from tenter.consultation.axes import Axis
from tenter.consultation.findings.named import as_named, other_category_named
from tenter.consultation.reading.tally import tally
from tenter.consultation.record.ledger import LedgerRow, demo_ledger, judgements_of_client, parse_ledger
from tenter.consultation.record.ledger_writing import ledger_text, write_ledger
from tenter.errors import UnknownName

HERS = ConsultantVerdict("warm autumn", note="Muted rusts evened the jaw each time.")


@pytest.fixture
def sitting(demo_kit, demo_judgements, bundled):
    return Sitting(demo_kit, bundled, seed=7).record_all(demo_judgements["K5"])


def test_naming_a_result_moves_no_odds_and_the_last_one_holds(sitting):
    before, made = sitting.probabilities(), tally(sitting.entries)
    assert sitting.named is None
    sitting.record(ConsultantVerdict("light spring", note="At first sight."))
    sitting.record(HERS)
    assert sitting.named == HERS
    assert sitting.named.reason == "Muted rusts evened the jaw each time."
    assert sitting.probabilities() == before
    assert tally(sitting.entries) == made
    sitting.void(len(sitting.entries), "left to the odds")
    assert sitting.named.category == "light spring"
    sitting.undo()
    assert sitting.named == HERS
    assert sitting.verdict().category == "warm spring"


def test_a_category_that_the_method_does_not_have_is_refused_and_another_methods_is_kept(sitting, demo_judgements):
    with pytest.raises(UnknownName, match="lihgt spring"):
        sitting.record(ConsultantVerdict("lihgt spring"))
    with pytest.raises(TenterError, match="names a category"):
        ConsultantVerdict(" ")
    theirs = ConsultantVerdict("spring", "four-seasons")
    sitting.record(theirs)
    assert sitting.named == theirs
    assert other_category_named(sitting, sitting.verdict()) is None
    assert as_named(sitting, sitting.verdict()) is None
    assert sitting.read_under(Method.bundled("four-seasons")).category == "spring"


def test_naming_what_the_odds_say_differs_in_nothing(sitting):
    sitting.record(ConsultantVerdict("warm spring"))
    assert other_category_named(sitting, sitting.verdict()) is None


@pytest.mark.parametrize("category", Method.bundled().categories)
def test_what_follows_from_hers_lies_inside_of_her_category(sitting, bundled, category):
    sitting.record(ConsultantVerdict(category))
    hers = as_named(sitting, sitting.verdict())
    if category == sitting.verdict().category:
        assert hers is None
        return
    assert (hers.category, hers.season) == (category, bundled.season_of[category])
    assert bundled.category_at([hers.traits[axis].mean for axis in Axis]) == category
    assert hers.probability == sitting.verdict().probabilities[category]
    assert hers.reasons == hers.against == hers.contradictions == ()


def test_the_ledger_and_the_json_keep_it(tmp_path, demo_kit):
    rows = [LedgerRow("K5", "", "", j) for j in judgements_of_client(demo_ledger(Kit.demo()), "K5")]
    rows.append(LedgerRow("K5", "41", "", HERS))
    assert parse_ledger(ledger_text(rows), demo_kit)[-1].judgement == HERS
    write_ledger(tmp_path / "judgements.csv", rows)
    options = ["--replay", str(tmp_path / "judgements.csv"), "--client", "K5", "--json"]
    told = json.loads(CliRunner().invoke(app, ["sit", *options]).stdout)
    assert told["category"] == "warm spring"
    assert told["consultant"] == {
        "category": "warm autumn",
        "season": "autumn",
        "reason": HERS.reason,
        "method": "four-by-three",
        "same": False,
    }
    elsewhere = json.loads(CliRunner().invoke(app, ["sit", *options[:4], "--json"]).stdout)
    assert elsewhere["consultant"] == told["consultant"]
    said = CliRunner().invoke(app, ["verdict", str(tmp_path / "judgements.csv"), "--client", "K5"]).stdout
    assert "The consultant’s judgement: warm autumn. Muted rusts evened the jaw each time." in " ".join(said.split())
