"""Two sittings of one client in the browser: said as the command says it, and only of sittings that may be seen."""

import html
from datetime import timedelta

import pytest
from django.utils import timezone

from tenter import Answer, PairJudgement
from tenter.consultation.compared.reanalysis import ChairLight, Sat, reanalysis
from tenter.light.light_values import values_of_meter
from tenter.report.on_screen.reanalysis import reanalysis_page
from tenter.web.models import KeptLight, Sitting
from tenter.web.papers.sitting_light import two_lights
from tenter.web.store import kept_lights, store
from tests.support import entering
from tests.web.conftest import browser_of


@pytest.fixture
def earlier(client_row):
    return client_row.sittings.get()


@pytest.fixture
def later(owner, earlier):
    """A second sitting of the same client, a year later, with the least that a verdict needs."""
    row = store.start_sitting(earlier.client, owner, earlier.kit, "four-seasons", seed=5)
    for number, (left, right) in enumerate([("D063", "D064"), ("D082", "D083"), ("D077", "D078")]):
        entering.record_judgement(row, PairJudgement(left, right, Answer.RIGHT, strength=2), f"again-{number}")
    started = earlier.started + timedelta(days=365)
    Sitting.objects.filter(pk=row.pk).update(started=started, revealed_at=started, ended=started)
    row.events.update(at=started)
    return Sitting.objects.get(pk=row.pk)


@pytest.fixture
def address(client_row):
    return f"/people/{client_row.pk}/sittings/compare"


def compared(visitor, address, earlier, later, **said):
    return visitor.get(address, {"earlier": earlier.pk, "later": later.pk} | said)


def test_it_says_what_the_command_says_of_the_two(visitor, owner, address, earlier, later):
    answer = compared(visitor, address, earlier, later, earlier_light="5000", later_light="5050")
    sats = []
    for row, kelvin in ((earlier, 5000), (later, 5050)):
        with store.load(row) as live:
            day = timezone.localtime(row.started).date().isoformat()
            sats.append(Sat(live, day, owner.username, ChairLight(kelvin)))
    page = reanalysis_page(earlier.client.name, reanalysis(*sats))
    text = html.unescape(answer.text)
    assert answer.context["page"] == page
    assert all(line in text for line in (page.heading, page.for_client, *page.results, *page.shifts, *page.notes))
    assert text.count(">excluded</span>") == sum(line.excluded for line in page.causes) == 3  # light, method, analyst
    assert "read again under four-seasons" in text


def test_the_checks_of_the_light_of_each_day_count_where_nobody_types_it(visitor, owner, address, earlier, later):
    typed = compared(visitor, address, earlier, later, earlier_light="5000", later_light="6400").context["page"]
    empty = compared(visitor, address, earlier, later).context["page"]
    for row, kelvin in ((earlier, 5000), (later, 6400)):
        light = kept_lights.keep_light(owner, owner, values_of_meter({"cct": kelvin}), None, f"of {row.pk}")
        KeptLight.objects.filter(pk=light.pk).update(at=row.started)
    assert compared(visitor, address, earlier, later).context["page"] == typed != empty
    told = {line.cause: line.text for line in typed.causes}
    assert told["The light"] == "may be the cause: 5000 K, and later 6400 K. Nothing here corrects for that."


def test_a_lamp_of_one_temperature_that_renders_otherwise_is_another_light(visitor, owner, address, earlier, later):
    for row, ra in ((earlier, 97), (later, 80)):
        light = kept_lights.keep_light(owner, owner, values_of_meter({"cct": 5000, "ra": ra}), None, f"of {row.pk}")
        KeptLight.objects.filter(pk=light.pk).update(at=row.started)
    causes = {line.cause: line.text for line in compared(visitor, address, earlier, later).context["page"].causes}
    assert causes["The light"].startswith("may be the cause: 5000 K, Ra 97, and later 5000 K, Ra 80.")


def checked(owner, at, **values):
    """Check the light at a time."""
    row = kept_lights.keep_light(owner, owner, values_of_meter(values), None, f"{at} {values}")
    KeptLight.objects.filter(pk=row.pk).update(at=at)


def test_a_sitting_that_went_on_in_another_light_says_so_wherever_it_is_read(visitor, owner, address, earlier, later):
    Sitting.objects.filter(pk=later.pk).update(ended=later.started + timedelta(days=1, hours=1))
    next_day = later.started + timedelta(days=1)
    later.events.filter(pk=later.events.last().pk).update(at=next_day)
    pages = [f"/sittings/{later.pk}", f"/sittings/{later.pk}/evidence"]
    checked(owner, earlier.started, cct=5000)
    checked(owner, later.started, cct=5000)
    day = f"{timezone.localdate(next_day):%-d %B %Y}"
    for page in pages:
        assert f"The light was not checked on {day}, when the sitting went on." in visitor.get(page).text
    checked(owner, next_day, cct=5050)
    assert all("went on" not in visitor.get(page).text for page in pages)
    checked(owner, next_day + timedelta(minutes=5), cct=6400)
    told = f"On {day} the sitting went on in another light. Colour temperature 5000 K then, 6400 K now"
    assert all(told in visitor.get(page).text for page in pages)
    causes = {line.cause: line.text for line in compared(visitor, address, earlier, later).context["page"].causes}
    assert causes["The light"].endswith("or a sitting went on in another light.")


def test_the_verdict_says_in_which_light_it_was_judged(visitor, owner, earlier):
    page = f"/sittings/{earlier.pk}/evidence"
    assert "Nobody checked the light of this sitting." in visitor.get(page).text
    checked(owner, earlier.started, cct=3000)
    text = visitor.get(page).text
    assert "▲ This sitting was held in a light that did not pass its check, for its colour temperature." in text
    assert "Light checked on " in text


def test_two_readings_say_whether_they_were_held_in_one_light(owner, earlier, later):
    assert "is not known" in two_lights(earlier, later)
    checked(owner, earlier.started, cct=5000)
    checked(owner, later.started, cct=5010)
    assert two_lights(earlier, later) == "Both were held in the same light, as far as it was measured."
    checked(owner, later.started, cct=6400, ra=90)
    assert two_lights(earlier, later).endswith("Colour temperature 5000 K then, 6400 K now: +1400 K (bluer).")


def test_the_cloths_of_each_day_exclude_the_kit(visitor, address, earlier, later):
    said = {"earlier_kit": earlier.kit_id, "later_kit": later.kit_id}
    causes = compared(visitor, address, earlier, later, **said).context["page"].causes
    assert [line.cause for line in causes if line.excluded] == ["The cloths", "The method", "The consultant"]


def test_what_cannot_be_compared_is_said(visitor, address, earlier, later):
    turned = compared(visitor, address, later, earlier)
    assert turned.status_code == 422
    assert "later than the earlier one" in turned.text
    assert compared(visitor, address, earlier, later, later_light="9").status_code == 422
    later.events.all().delete()
    store.forget_sittings()
    bare = compared(visitor, address, earlier, later)
    assert bare.status_code == 422
    assert "still owed" in bare.text


def test_the_card_leads_there_once_there_are_two(visitor, owner, address, earlier):
    assert "has fewer than two sittings" in visitor.get(address).text
    assert f'href="{address}"' not in visitor.get(f"/people/{earlier.client_id}").text
    row = store.start_sitting(earlier.client, owner, earlier.kit)
    Sitting.objects.filter(pk=row.pk).update(revealed_at=timezone.now())
    assert f'href="{address}"' in visitor.get(f"/people/{earlier.client_id}").text


def test_another_clients_sitting_and_a_strangers_are_none(visitor, address, earlier, later, stranger):
    other = Sitting.objects.exclude(client=earlier.client).first()
    assert compared(visitor, address, other, later).status_code == 422
    assert browser_of(stranger).get(address).status_code == 404
