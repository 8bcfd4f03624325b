"""The consultant names the result on the verdict's page: kept, handed over, taken back, and in a backup."""

import html

import pypdfium2
import pytest
from django.utils import timezone

from tenter.web.backups.backup import write_backup
from tenter.web.backups.backup_file import read_backup
from tenter.web.backups.checking import check_backup
from tenter.web.backups.restore import put_back
from tenter.web.models import Access, AuditEntry, Sitting, SittingEvent
from tenter.web.store import sheets, store, turns
from tenter.web.store.screen_link import link_of
from tests.support import entering
from tests.web.conftest import browser_of

REASON = "Muted rusts evened the jaw each time"


@pytest.fixture(autouse=True)
def folder(tmp_path, monkeypatch):
    """The data folder of this test alone."""
    monkeypatch.setenv("TENTER_DATA_DIR", str(tmp_path / "data"))
    (tmp_path / "data").mkdir()
    return tmp_path / "data"


@pytest.fixture
def row(owner):
    """The invented client K5's sitting: ended, and revealed."""
    return Sitting.objects.select_related("client", "kit").get(client__name="Maren Tolliver")


def said(category="warm autumn", reason=REASON, key="k1"):
    return {"category": category, "reason": reason, "key": key}


def words(page) -> str:
    return " ".join(html.unescape(page.text).split())


def text_of(answer) -> str:
    with pypdfium2.PdfDocument(answer.content) as document:
        return " ".join(" ".join(page.get_textpage().get_text_range() for page in document).split())


def test_a_result_is_named_shown_first_and_handed_over(owner, row):
    browser, address = browser_of(owner), f"/sittings/{row.pk}/evidence"
    before = words(browser.get(address))
    assert "<h1>Warm spring</h1>" in before
    assert "Name the result" in before
    answer = browser.post(f"/sittings/{row.pk}/name", said())
    assert answer["Location"] == address
    page = words(browser.get(address))
    assert "<h1>Warm autumn</h1>" in page
    assert "the consultant’s judgement" in page
    assert "By the odds: Warm spring, settled, 99 %" in page
    assert REASON in page
    turned = words(browser.get(f"/sittings/{row.pk}/verdict"))
    assert "<h1>Warm autumn</h1>" in turned
    assert "By your consultant’s judgement." in turned
    assert REASON in turned
    assert "Warm spring" not in turned
    handed, kept = (text_of(browser.get(f"/sittings/{row.pk}/sheet.pdf{which}")) for which in ("", "?paper=studio"))
    assert "Warm autumn" in handed
    assert "Warm spring" not in handed
    assert "judgement: warm autumn" in kept
    assert "Warm spring" in kept
    screen = words(browser.get(f"/screen/{link_of(row)}"))
    assert "Warm autumn</h2>" in screen
    assert "By your consultant’s judgement." in screen
    assert AuditEntry.objects.filter(action="result named", subject=f"sitting {row.pk}", user=owner).count() == 1


def test_another_result_needs_a_reason_and_the_same_does_not(owner, row):
    browser = browser_of(owner)
    refused = browser.post(f"/sittings/{row.pk}/name", said(reason=" "))
    assert refused.status_code == 422
    assert "Say why in a sentence" in words(refused)
    assert '<option value="warm autumn" selected>' in refused.text
    assert browser.post(f"/sittings/{row.pk}/name", said("no season")).status_code == 422
    assert not SittingEvent.objects.filter(sitting=row, payload__judgement__kind="verdict").exists()
    browser.post(f"/sittings/{row.pk}/name", said("warm spring", ""))
    page = words(browser.get(f"/sittings/{row.pk}/evidence"))
    assert "<h1>Warm spring</h1>" in page
    assert "the consultant’s judgement" not in page


def test_it_is_kept_once_after_the_end_and_can_be_left_to_the_odds(owner, row):
    turns.end(row, owner)
    browser = browser_of(owner)
    for _ in range(2):
        browser.post(f"/sittings/{row.pk}/name", said())
    assert SittingEvent.objects.filter(sitting=row, payload__judgement__kind="verdict").count() == 1
    with store.load(row) as live:
        assert live.named.reason == REASON
        odds = live.probabilities()
    browser.post(f"/sittings/{row.pk}/leave-to-odds")
    browser.post(f"/sittings/{row.pk}/leave-to-odds")
    with store.load(row) as live:
        assert live.named is None
        assert live.probabilities() == odds
        assert sum(type(entry.judgement).__name__ == "ConsultantVerdict" for entry in live.entries) == 1
    assert "<h1>Warm spring</h1>" in words(browser.get(f"/sittings/{row.pk}/evidence"))
    assert AuditEntry.objects.filter(action="result left to the odds").count() == 1


def test_only_the_analyst_names_and_only_after_the_reveal(owner, stranger, row):
    assert browser_of(stranger).post(f"/sittings/{row.pk}/name", said()).status_code == 404
    Access.objects.create(client=row.client, user=stranger)
    assert browser_of(stranger).post(f"/sittings/{row.pk}/name", said()).status_code == 404
    assert "Name the result" not in browser_of(stranger).get(f"/sittings/{row.pk}/evidence").text
    assert browser_of(owner).get(f"/sittings/{row.pk}/name").status_code == 405
    Sitting.objects.filter(pk=row.pk).update(revealed_at=None)
    browser_of(owner).post(f"/sittings/{row.pk}/name", said())
    browser_of(owner).post(f"/sittings/{row.pk}/leave-to-odds")
    assert not SittingEvent.objects.filter(sitting=row, payload__judgement__kind="verdict").exists()
    Sitting.objects.filter(pk=row.pk).update(revealed_at=timezone.now())


def test_a_backup_keeps_it(owner, row, folder):
    browser_of(owner).post(f"/sittings/{row.pk}/name", said())
    write_backup(folder.parent / "b.zip")
    browser_of(owner).post(f"/sittings/{row.pk}/leave-to-odds")
    backup = read_backup(folder.parent / "b.zip")
    found = check_backup(backup)
    assert found.compared == found.sittings
    assert found.differing == ()
    put_back(backup, found, folder)
    again = Sitting.objects.get(client__name="Maren Tolliver")
    with store.load(again) as live:
        assert (live.named.category, live.named.reason) == ("warm autumn", REASON)
    assert sheets.screen_of(again).handed.finding.headline == "Warm autumn"


def test_agreement_counts_what_was_named_beside_what_the_odds_say(owner, person, row):
    bea = person("Bea Thorn")
    second = store.start_sitting(row.client, bea, row.kit, blind_to=row)
    with store.load(row) as live:
        answers = [entry.judgement for entry in live.entries if entry.stands]
    for number, judgement in enumerate(answers):
        entering.record_judgement(second, judgement, f"s-{number}")
    now = timezone.now()
    Sitting.objects.filter(pk=second.pk).update(ended=now, revealed_at=now, compared_at=now)
    browser = browser_of(owner)

    def handed_over():
        page = words(browser.get(f"/sittings/{row.pk}/agreement"))
        return page.partition("result handed over</th>")[2].partition("</tr>")[0]

    assert handed_over().count("warm spring") == 2
    assert "the same" in handed_over()
    assert "No consultant has named a result yet" in words(browser.get("/studio/agreement"))
    browser.post(f"/sittings/{row.pk}/name", said())
    assert '<td>warm autumn <span class="meta">(named)</span></td><td>warm spring</td>' in handed_over()
    assert "differ" in handed_over()
    page = words(browser.get("/studio/agreement"))
    assert '<th scope="row">settled</th><td>1</td><td>99 %</td><td>0 of 1</td>' in page
    assert "result handed over" in page
    browser.post(f"/sittings/{row.pk}/name", said("warm spring", "", "k2"))
    assert "<td>1</td><td>99 %</td><td>1 of 1</td>" in words(browser.get("/studio/agreement"))


def test_the_bench_goes_on_with_a_named_result_in_its_record(owner, row):
    browser = browser_of(owner)
    browser.post(f"/sittings/{row.pk}/name", said())
    turns.open_again(row, owner)
    page = words(browser.get(f"/sittings/{row.pk}/bench"))
    assert "warm autumn named as the result, but this is not evidence" in page
    browser.post(f"/sittings/{row.pk}/bench/entry", {"act": "undo", "key": "u1", "seen": str(row.events.count())})
    with store.load(row) as live:
        assert live.named is None
    assert browser.get(f"/sittings/{row.pk}").status_code == 200


def test_of_many_sittings_only_those_with_a_named_result_are_asked_for(owner, row, django_assert_max_num_queries):
    browser, now = browser_of(owner), timezone.now()
    browser.post(f"/sittings/{row.pk}/name", said())
    own = {"client": row.client, "analyst": owner, "kit": row.kit, "method": row.method, "seed": 1}
    Sitting.objects.bulk_create(Sitting(**own, ended=now, revealed_at=now) for _ in range(60))
    with django_assert_max_num_queries(40):
        page = words(browser.get("/studio/agreement"))
    assert "Results that consultants named, compared with the odds" in page
