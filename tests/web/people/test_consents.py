"""A client's consents: asked one by one, kept in the words that were shown, and looked at in one place."""

import ast
import hashlib
from datetime import timedelta
from pathlib import Path
from types import SimpleNamespace

import pytest
from django.utils import timezone

from tenter.consultation.client.consent import OF_FORMS, WORDING_VERSION, Purpose, asked, asked_for, asked_in
from tenter.errors import TenterError
from tenter.web.models import (
    Access,
    AuditEntry,
    Client,
    Consent,
    KeepingTimes,
    MeasuredFace,
    Photograph,
    Sitting,
    ThingPhotograph,
)
from tenter.web.rules import access, consents, consents_of_forms, photo_promise
from tenter.web.store import given_face
from tests.web.conftest import agreed, browser_of

# A proof names the version of the words that were shown: whoever changes them raises it, and adds a line here.
WORDINGS = {1: "dd24", 2: "e9ab"}


def test_a_version_names_the_words_that_were_shown():
    words = "\n".join(one.wording for one in asked(minor=False))
    assert hashlib.sha256(words.encode()).hexdigest()[:4] == WORDINGS[WORDING_VERSION]


@pytest.fixture
def ada(owner):
    return Client.objects.create(owner=owner, name="Ada")


@pytest.fixture
def child(owner):
    return Client.objects.create(owner=owner, name="Ida", minor=True)


def day(ahead):
    return timezone.localdate() + timedelta(days=ahead)


def ask(browser, client, *purposes, **said):
    return browser.post(f"/people/{client.pk}/consents", {"purposes": purposes, "until": day(90).isoformat()} | said)


def take_back(browser, client, purpose):
    return browser.post(f"/people/{client.pk}/consents/take-back", {"purpose": purpose}, follow=True)


# -- asked, and taken back ---------------------------------------------------------------------------------------------


def test_each_purpose_is_agreed_to_on_its_own_until_its_day_in_the_words_shown(visitor, owner, ada):
    assert not any(consents.may(ada, purpose) for purpose in Purpose)
    page = visitor.get(f"/people/{ada.pk}/consents").text
    assert all(one.wording in page for one in asked(minor=False))
    assert "checked" not in page
    assert ask(visitor, ada, "analysis", "measure").url == f"/people/{ada.pk}"  # where a sitting is started
    assert {purpose for purpose in Purpose if consents.may(ada, purpose)} == {Purpose.ANALYSIS, Purpose.MEASURE}
    row = Consent.objects.get(purpose="measure", client=ada)
    assert (row.wording, row.version, row.until) == (asked_for(Purpose.MEASURE).wording, WORDING_VERSION, day(90))
    assert (row.by, row.guardian, row.given) == (owner, "", True)
    assert "consent written down" in AuditEntry.objects.first().action


@pytest.mark.parametrize("asking", ["consents", "agree"])
def test_nothing_is_written_down_of_a_page_that_showed_other_words(visitor, ada, asking):
    address = f"/people/{ada.pk}/{asking}"
    assert f'name="shown" value="{asked_in()}"' in visitor.get(address).text
    said = {"purposes": ["analysis"], "until": day(90).isoformat()}
    again = visitor.post(address, said | {"shown": f"{WORDING_VERSION} qps"}, follow=True)
    assert "the words have changed since they were shown" in again.text
    assert (again.redirect_chain, Consent.objects.filter(client=ada).count()) == ([(address, 302)], 0)
    visitor.post(address, said | {"shown": asked_in()})
    assert consents.may(ada, Purpose.ANALYSIS)


def test_a_consent_ends_on_its_day(owner, ada):
    consents.give_consent(ada, [Purpose.COMPARE], day(1), owner)
    assert consents.may(ada, Purpose.COMPARE)
    Consent.objects.filter(client=ada).update(until=day(0))
    assert not consents.may(ada, Purpose.COMPARE)
    assert "ended on" in str(consents.lacking(ada, Purpose.COMPARE))
    assert consents.agreeing([ada.pk], Purpose.COMPARE) == []


def test_taking_back_adds_a_row_and_counts_at_once_and_agreeing_again_counts_too(visitor, ada):
    ask(visitor, ada, "compare", until="")
    page = take_back(visitor, ada, "compare").text
    assert "not laid beside one another any more" in page
    assert "taken back on" in str(consents.lacking(ada, Purpose.COMPARE))
    assert [row.given for row in consents.history(ada)] == [True, False]
    take_back(visitor, ada, "compare")  # there is nothing to take back any more
    assert len(consents.history(ada)) == 2
    ask(visitor, ada, "compare")
    assert consents.may(ada, Purpose.COMPARE)


@pytest.mark.parametrize("said", [{"purposes": ()}, {"purposes": ("wood",)}, {"until": "2020-01-01"}])
def test_what_is_no_answer_is_not_written_down(visitor, ada, said):
    answer = ask(visitor, ada, **({"purposes": ("analysis",)} | said))
    assert (answer.status_code, set(answer.context["form"].errors)) == (422, set(said))
    assert not Consent.objects.filter(client=ada).exists()
    assert take_back(visitor, ada, "wood").status_code == 404


def test_the_proof_says_what_was_agreed_when_and_in_which_words(visitor, client_row, owner):
    consents.take_back_consent(client_row, Purpose.SHEET, owner)
    page = visitor.get(f"/people/{client_row.pk}/consents/proof").text
    for row in consents.history(client_row):
        assert row.wording in page
        assert f"{timezone.localtime(row.at):%-d %B %Y, %H:%M}" in page
    assert f"written down by {owner.username}" in page
    assert page.count("taken back") >= 1
    assert f"/people/{client_row.pk}/consents/proof" in visitor.get(f"/people/{client_row.pk}").text


# -- minors ------------------------------------------------------------------------------------------------------------


def test_for_a_minor_a_named_guardian_who_is_present_agrees_until_a_day_and_to_no_publication(visitor, owner, child):
    page = visitor.get(f"/people/{child.pk}/consents").text
    assert asked_for(Purpose.PUBLISHED).wording not in page
    refused = ask(visitor, child, "analysis", until="")
    assert set(refused.context["form"].errors) == {"guardian", "present", "until"}
    named = {"guardian": "Orla Venn", "present": "on"}
    assert "until" in ask(visitor, child, "analysis", until=day(400).isoformat(), **named).context["form"].errors
    assert "purposes" in ask(visitor, child, "published", **named).context["form"].errors
    assert ask(visitor, child, "analysis", **named).status_code == 302
    assert Consent.objects.get(client=child).guardian == consents.guardian_of(child) == "Orla Venn"
    assert consents.may(child, Purpose.ANALYSIS)
    for wrong in ({"until": day(9)}, {"until": None, "guardian": "Orla Venn"}):
        with pytest.raises(TenterError, match=r"guardian|end"):
            consents.give_consent(child, [Purpose.ANALYSIS], by=owner, **wrong)


def test_what_somebody_agreed_to_before_they_were_known_to_be_a_minor_does_not_count(owner, ada):
    agreed(ada)
    consents.give_consent(ada, [Purpose.ANALYSIS, Purpose.PUBLISHED], None, owner)
    ada.minor = True
    ada.save()
    assert not consents.may(ada, Purpose.ANALYSIS)
    assert consents.agreeing([ada.pk], Purpose.ANALYSIS) == []
    assert not consents.may(ada, Purpose.PUBLISHED)
    assert "nothing of a minor is published" in str(consents.lacking(ada, Purpose.PUBLISHED))


# -- what waits for it -------------------------------------------------------------------------------------------------


def test_no_sitting_is_started_without_consent_to_the_analysis(visitor, owner, ada):
    said = {"client": ada.pk, "kit": owner.kits.get().pk, "method": "four-by-three"}
    asked = visitor.post("/sittings/start", said, follow=True)
    [(address, _status)] = asked.redirect_chain
    assert address.startswith(f"/people/{ada.pk}/agree?")
    assert "I agree to a colour analysis." in asked.text
    assert not ada.sittings.exists()
    consents.give_consent(ada, [Purpose.ANALYSIS], None, owner)
    assert visitor.post("/sittings/start", said).url == f"/sittings/{ada.sittings.get().pk}/arrival"


def test_nothing_more_is_written_down_once_the_consent_to_the_analysis_is_taken_back(visitor, owner, going_on):
    said = {"kind": "pair", "cloths": "D063 D064", "answer": "D063 1", "key": "one", "seen": going_on.events.count()}
    entry, before = f"/sittings/{going_on.pk}/bench/entry", going_on.events.count()
    consents.take_back_consent(going_on.client, Purpose.ANALYSIS, owner)
    refused = visitor.post(entry, said, headers={"accept": "application/json"})
    assert refused.status_code == 409
    assert "no consent to “Colour analysis”: taken back" in refused.json()["problem"]
    assert going_on.events.count() == before
    consents.give_consent(going_on.client, [Purpose.ANALYSIS], None, owner)
    assert visitor.post(entry, said, headers={"accept": "application/json"}).json()["saved"]
    assert going_on.events.count() == before + 1


def test_associates_see_a_client_while_the_client_agrees(visitor, owner, ada, stranger):
    owner.associates.create(user=stranger)
    given = {"users": [stranger.pk]}
    refused = visitor.post(f"/people/{ada.pk}/access", given)
    assert (refused.status_code, Access.objects.filter(client=ada).count()) == (409, 0)
    with pytest.raises(consents.ConsentMissing):
        access.let_in(stranger, ada)
    consents.give_consent(ada, [Purpose.ASSOCIATES], None, owner)
    assert visitor.post(f"/people/{ada.pk}/access", given).status_code == 302
    theirs = browser_of(stranger)
    assert theirs.get(f"/people/{ada.pk}").status_code == 200
    take_back(visitor, ada, "associates")
    assert theirs.get(f"/people/{ada.pk}").status_code == 404
    assert visitor.post(f"/people/{ada.pk}/access", {"users": []}).status_code == 302, "nobody is let in by it"


def test_an_associate_sees_the_client_whose_card_she_made(owner, stranger):
    owner.associates.create(user=stranger)
    page = browser_of(stranger).post("/people/add", {"name": "Ada"}, follow=True)
    assert page.status_code == 200
    assert not consents.may(Client.objects.get(name="Ada"), Purpose.ASSOCIATES)


def test_a_second_reading_by_somebody_else_waits_for_both_consents(visitor, owner, client_row, stranger):
    owner.associates.create(user=stranger)
    first = client_row.sittings.get()
    for purpose in (Purpose.ASSOCIATES, Purpose.ANALYSIS):
        consents.take_back_consent(client_row, purpose, owner)
        answer = visitor.post(f"/sittings/{first.pk}/second", {"analyst": stranger.pk})
        assert (answer.status_code, client_row.sittings.count()) == (409, 1)
        consents.give_consent(client_row, [purpose], None, owner)
    assert visitor.post(f"/sittings/{first.pk}/second", {"analyst": stranger.pk}).status_code == 302


def test_papers_speak_of_a_measured_face_while_the_client_agrees(owner, client_row):
    row = client_row.sittings.get()
    MeasuredFace.objects.create(sitting=row, by=owner, colours={"regions": {}})
    assert given_face.given_face_text(row) == '{"regions": {}}'
    consents.take_back_consent(client_row, Purpose.SHEET, owner)
    assert given_face.given_face_text(row) == "null"


# -- photographs that may not be kept ----------------------------------------------------------------------------------


@pytest.fixture
def kept(owner, client_row):
    """A photograph of a client, one of a thing of theirs, and one of another client."""
    other = Client.objects.exclude(pk=client_row.pk).first()
    shots = [Photograph.objects.create(client=one, by=owner, chart="none", state="done") for one in (client_row, other)]
    thing = ThingPhotograph.objects.create(sitting=client_row.sittings.get(), by=owner, chart="none", kept=True)
    return SimpleNamespace(shot=shots[0], thing=thing, other=shots[1])


def test_once_keeping_is_taken_back_photographs_are_not_opened_and_go_by_one_click(visitor, client_row, kept, folder):
    page = take_back(visitor, client_row, "measure").text
    assert "2 photographs may not be kept any more" in page
    kept.shot.refresh_from_db()
    kept.other.refresh_from_db()
    assert kept.shot.past_its_day
    assert not kept.other.past_its_day
    assert visitor.get(f"/photographs/{kept.shot.pk}/picture").status_code == 404
    visitor.post(f"/people/{client_row.pk}/consents/erase")
    assert list(Photograph.objects.all()) == [kept.other]
    assert not ThingPhotograph.objects.exists()


def test_no_photograph_outlasts_the_consent_to_keep_it(visitor, owner, client_row, kept):
    ask(visitor, client_row, "measure", until=day(20).isoformat())
    kept.shot.refresh_from_db()
    kept.thing.refresh_from_db()
    assert (kept.shot.deletes_on, kept.thing.deletes_on) == (day(20), day(20))
    assert photo_promise.within_consent(client_row, day(30)) == day(20)
    assert photo_promise.within_consent(client_row, day(10)) == day(10)
    assert photo_promise.within_consent(None, day(30)) == day(30)
    row = client_row.sittings.get()
    Photograph.objects.filter(pk=kept.shot.pk).update(sitting=row, days_after_end=300)
    row.ended = timezone.now()
    photo_promise.keep_to(row, owner)
    kept.shot.refresh_from_db()
    assert kept.shot.deletes_on == day(20)


# -- what the forms of photographs were told ---------------------------------------------------------------------------


def test_what_the_forms_were_told_becomes_consents_of_that_day_in_their_words(owner, client_row, child, stranger):
    Consent.objects.all().delete()
    first, last = timezone.now() - timedelta(days=9), timezone.now() - timedelta(days=2)
    said = {"by": owner, "chart": "none"}
    shots = [
        Photograph.objects.create(client=client_row, taken_at=at, purposes=list(purposes), deletes_on=day(days), **said)
        for at, purposes, days in ((first, ("measure", "sheet"), 40), (last, ("measure", "compare"), 60))
    ]
    Photograph.objects.create(client=child, purposes=["measure"], guardian=True, **said)
    Access.objects.create(client=client_row, user=stranger)
    Access.objects.create(client=child, user=stranger)
    Sitting.objects.filter(client=client_row).update(analyst=stranger)
    consents_of_forms.take_over(Photograph, Consent, Access, Sitting)
    found = {row.purpose: row for row in client_row.consents.all()}
    assert {purpose: row.at for purpose, row in found.items()} == {"measure": first, "sheet": first, "compare": last}
    assert {row.version for row in found.values()} == {OF_FORMS}
    assert found["sheet"].wording == "Its colours may be printed on their reading sheet"
    assert (found["measure"].until, found["sheet"].until) == (day(60), None)
    assert [consents.may_use(shot, Purpose.SHEET) for shot in shots] == [True, False], "nothing was agreed for the last"
    assert consents.may(child, Purpose.MEASURE)
    assert consents.guardian_of(child) == ""  # nobody was named
    assert dict(Access.objects.values_list("client__name", "made_card")) == {"Ilse Varnholt": True, "Ida": False}


# -- every purpose is asked somewhere ----------------------------------------------------------------------------------

_ASKING = {"may", "may_use", "narrowed", "lacking", "require", "agreeing", "ended", "refuse_if_ended"}


def _asked_in(path):
    """Return the purposes that are named in a module's functions which ask whether a client agrees."""
    functions = [n for n in ast.walk(ast.parse(path.read_text(encoding="utf-8"))) if isinstance(n, ast.FunctionDef)]
    asking = [one for one in functions if any(getattr(n, "attr", "") in _ASKING for n in ast.walk(one))]
    named = [n for one in asking for n in ast.walk(one) if isinstance(n, ast.Attribute)]
    return {n.attr for n in named if getattr(n.value, "id", "") == "Purpose"}


def test_every_purpose_is_asked_before_something_is_done_and_what_no_page_does_is_said_on_the_card(visitor, client_row):
    web = Path(access.__file__).parents[1]
    asked_about = set().union(*(_asked_in(path) for path in web.rglob("*.py") if path != web / "rules" / "consents.py"))
    assert asked_about == {purpose.name for purpose in Purpose}
    by_you = [one for one in asked(minor=False) if one.by_you]
    assert {one.purpose for one in by_you} == {Purpose.PUBLISHED, Purpose.TRAINING}
    card = visitor.get(f"/people/{client_row.pk}").text
    assert card.count("Tenter has no page or file for this, so you have to respect the answer yourself.") == len(by_you)


def test_the_page_of_an_archive_says_what_the_file_may_not_be_used_for(visitor, owner, client_row):
    address = f"/people/{client_row.pk}/archive"
    assert "No consent for: publication or training. The file is for the client alone." in visitor.get(address).text
    consents.give_consent(client_row, [Purpose.TRAINING], None, owner)
    assert "No consent for: publication. The file is for the client alone." in visitor.get(address).text
    consents.give_consent(client_row, [Purpose.PUBLISHED], None, owner)
    assert "the file is for the client alone" not in visitor.get(address).text


# -- under 18 from now on ----------------------------------------------------------------------------------------------


@pytest.fixture
def taken(owner, client_row):
    """Photographs that were taken 40, 10 and 10 days ago; the last is deleted soon in any case."""
    said = {"client": client_row, "by": owner, "chart": "none", "state": "done"}
    days = ((40, 50), (10, 80), (10, 5))
    return [
        Photograph.objects.create(taken_at=timezone.now() - timedelta(days=ago), deletes_on=day(left), **said)
        for ago, left in days
    ]


CARD = {"name": "Ilse Varnholt", "note": "", "minor": "on"}


def test_marked_under_18_later_photographs_are_deleted_as_a_minors_are_and_the_page_says_so_before(
    visitor, client_row, taken
):
    Photograph.objects.filter(pk=taken[1].pk).update(sitting=client_row.sittings.get(), days_after_end=80)
    page = visitor.get(f"/people/{client_row.pk}/edit").text
    assert "If under 18: delete 2 photographs sooner" in page
    assert "1 of them is past that day, and is not opened any more and deleted within the hour." in page
    refused = visitor.post(f"/people/{client_row.pk}/edit", CARD)
    client_row.refresh_from_db()
    assert (set(refused.context["form"].errors), client_row.minor) == ({"sooner"}, False)
    assert not Photograph.objects.filter(deletes_on__lte=day(4)).exists()
    told = visitor.post(f"/people/{client_row.pk}/edit", CARD | {"sooner": "on"}, follow=True)
    assert told.redirect_chain == [(f"/people/{client_row.pk}/consents", 302)]
    assert "2 photographs got an earlier day of deletion." in told.text
    assert "1 photograph may not be kept any more" in told.text
    assert list(Photograph.objects.order_by("pk").values_list("deletes_on", "days_after_end")) == [
        *((day(-10), None), (day(20), None), (day(5), None))
    ]
    assert AuditEntry.objects.filter(subject=f"photograph {taken[0].pk}").exists()


def test_marked_under_18_later_the_guardian_is_asked_for(visitor, client_row):
    page = visitor.post(f"/people/{client_row.pk}/edit", CARD, follow=True).text
    assert "Ask the parent or guardian, and write down their name here." in page
    assert "The parent or guardian who agrees, by name" in page
    assert not any(consents.may(Client.objects.get(pk=client_row.pk), purpose) for purpose in Purpose)
    again = visitor.post(f"/people/{client_row.pk}/edit", CARD, follow=True)  # it is no news any more
    assert again.redirect_chain == [(f"/people/{client_row.pk}", 302)]


def test_a_card_that_stays_an_adults_leaves_photographs_their_day(visitor, client_row, taken):
    said = {"name": "Ilse", "note": "", "sooner": "on"}
    assert visitor.post(f"/people/{client_row.pk}/edit", said).status_code == 302
    assert set(Photograph.objects.values_list("deletes_on", flat=True)) == {day(50), day(80), day(5)}


def test_the_page_says_for_how_long_and_for_whom_the_words_speak(visitor, owner, client_row, child):
    KeepingTimes.objects.create(owner=owner, client=14)
    page = visitor.get(f"/people/{client_row.pk}/consents").text
    assert "everything of the client is due to be erased 14 months after the last sitting" in page
    assert "‘I’ and ‘my’ are the client." not in page
    assert "‘I’ and ‘my’ are the client." in visitor.get(f"/people/{child.pk}/consents").text
