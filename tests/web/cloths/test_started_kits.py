"""A kit put together on screen: typed, scanned and pasted cloths, names, and a table with other headings."""

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from tenter import Kit
from tenter.web.models import KeptReading, KitRecord, StartedKit
from tests.web.conftest import browser_of

CLOTH = {"number": "D001", "name": "Orchard Peach", "given_as": "Lab", "colour": "82,1 15,7 25,5", "place": "rail A"}


@pytest.fixture
def browser(stranger):
    return browser_of(stranger)


@pytest.fixture
def started(browser):
    browser.post("/kit/start", {"start-name": "Rail one", "start-illuminant": "D65", "start-observer": "10"})
    return f"/kit/started/{StartedKit.objects.get().pk}"


def test_a_name_typed_cloths_and_pasted_rows_make_a_kit(browser, started):
    assert "D001 added." in browser.post(started, CLOTH, follow=True).text
    browser.post(started, {**CLOTH, "number": "D002", "given_as": "LCh", "colour": "60 30 90"})
    page = browser.post(started, {**CLOTH, "number": "D003", "colour": "rust"})
    assert "“rust” has no number in it. Type L*, a* and b* as an instrument shows them" in page.text
    assert page.context["cloth"].fields["colour"].widget.attrs["autofocus"]
    rows = "D003\tMoss\t45,2\t-18,0\t20,1\trail B\nD004\tClay\t#a0522d\trail B\nD005\tWrong\t45x\t1\t2"
    page = browser.post(f"{started}/paste", {"paste-rows": rows, "paste-given_as": "Lab"})
    assert "Row 1 (D005), column colour: &#x27;45x&#x27; is not a number." in page.text
    assert "D004" not in page.context["paste"]["rows"].value()
    headed = "number\tL\ta\tb\thue_family\nD006\t50\t1\t2\tplaid"
    page = browser.post(f"{started}/paste", {"paste-rows": headed, "paste-given_as": "Lab"})
    assert "Row 1 (D006), column Hue family: no hue family is called &#x27;plaid&#x27;" in page.text
    browser.post(f"{started}/make", {"make-name": "Rail one"})
    kit = Kit.parse(KitRecord.objects.get().csv)
    assert kit.ids == ("D001", "D002", "D003", "D004")
    assert kit.lab[:3].tolist() == [[82.1, 15.7, 25.5], [60, 0, 30], [45.2, -18.0, 20.1]]
    assert [d.place for d in kit.drapes] == ["rail A", "rail A", "rail B", "rail B"]
    assert kit["D004"].notes == "from a hex code, not measured"
    assert not StartedKit.objects.exists()


@pytest.mark.parametrize(
    ("said", "field"),
    [
        ({"colour": "82.1 15.7"}, "colour"),
        ({"colour": "182 1 2"}, "colour"),
        ({"colour": "50 -1 20", "given_as": "LCh"}, "colour"),
        ({"colour": "red", "given_as": "hex"}, "colour"),
        ({"colour": ""}, "hue_family"),
        ({"number": "D 1"}, "number"),
        ({"hue_family": "metal"}, "undertone"),
    ],
)
def test_a_cloth_that_cannot_be_says_which_field_is_at_fault(browser, started, said, field):
    page = browser.post(started, {**CLOTH, **said})
    assert page.status_code == 422
    assert list(page.context["cloth"].errors) == [field]


def test_a_scanned_label_opens_its_cloth_or_begins_one(browser, started):
    browser.post(started, CLOTH)
    opened = browser.post(started, {"number": "https://studio.example/kit/D001"}, follow=True)
    assert opened.context["cloth"]["was"].value() == "D001"
    begun = browser.post(started, {"number": "D002", "given_as": "Lab"})
    assert (begun.status_code, begun.context["cloth"]["number"].value()) == (200, "D002")
    assert begun.context["cloth"].errors == {}


def test_cloths_named_on_screen_make_a_new_version_with_the_old_readings(owner):
    browser, old = browser_of(owner), KitRecord.objects.get()
    told = {"cloth": "D001", "day": "2026-11-01", "given_as": "Lab", "lab": [81, 15, 25]}
    document = told | {"illuminant": "D65", "observer": "10"}
    KeptReading.objects.create(kit=old, cloth="D001", day="2026-11-01", document=document, by=owner, key="one")
    page = browser.post(f"/kit/{old.pk}/change", follow=True)
    started = f"/kit/started/{StartedKit.objects.get().pk}"
    said = {field.html_name: field.value() for row in page.context["rows"] for field in row["fields"]}
    browser.post(f"{started}/names", said | {"name0": "Apricot", "place0": "rail Z"})
    refused = browser.post(started, {**CLOTH, "was": "D001"})
    assert "colour" in refused.context["cloth"].errors  # a reading goes before what is typed
    browser.post(f"{started}/take-out", {"cloth": "D002"})
    made = browser.post(f"{started}/make", {"make-name": "Renamed"}, follow=True)
    new = Kit.parse(KitRecord.objects.get(name="Renamed").csv)
    assert made.status_code == 200
    assert (new["D001"].name, new["D001"].place) == ("Apricot", "rail Z")
    assert new.ids == tuple(name for name in Kit.parse(old.csv).ids if name != "D002")
    assert KitRecord.objects.get(name="Renamed").readings.get().cloth == "D001"
    assert KitRecord.objects.get(pk=old.pk).csv == old.csv


def sent(browser, text):
    file = SimpleUploadedFile("kit.csv", text.encode())
    return browser.post("/kit/add", {"name": "Bought", "table": file})


def test_other_headings_are_named_by_click_and_a_fault_names_the_files_own_row_and_heading(browser):
    text = "No.;Colour;Lightness;a*;b*;Price\nD1;Peach;82,1;15,7;25,5;9\n\nD2;Moss;45x;-18;20;9\n"
    asked = sent(browser, text)
    form = asked.context["form"]
    assert not KitRecord.objects.exists()
    assert "Not read from your table: Price." in asked.text
    said = {field.html_name: field.value() for field in form}
    page = browser.post("/kit/columns", said)
    assert "Row 4, column L* (your Lightness): &#x27;45x&#x27; is not a number." in page.text
    assert not KitRecord.objects.exists()
    twice = browser.post("/kit/columns", {**said, "column-b": said["column-a"]}).context["form"]
    assert list(twice.errors) == ["column-b"]
    browser.post("/kit/columns", {**said, "text": text.replace("45x", "45")})
    assert Kit.parse(KitRecord.objects.get().csv).lab.tolist() == [[82.1, 15.7, 25.5], [45, -18, 20]]


def test_the_template_is_refused_until_its_examples_are_gone(browser):
    text = browser.get("/kit/template.csv").content.decode("utf-8-sig")
    assert len(sent(browser, text).context["form"].errors["table"]) == 2
    assert not KitRecord.objects.exists()
    assert sent(browser, text.replace("EXAMPLE-", "D")).status_code == 302


def test_a_started_kit_can_be_thrown_away(browser, started):
    browser.post(f"{started}/throw-away")
    assert not StartedKit.objects.exists()
    assert browser.post("/kit/start", {}, follow=True).redirect_chain == [("/kit/add", 302)]
