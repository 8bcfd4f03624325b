"""A client's wardrobe in the browser: said as the command says it, kept in rows, and gone with the client."""

import html

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from tenter.consultation.colours.colours import Part
from tenter.consultation.garments.buying import buy_list
from tenter.consultation.garments.wardrobe import read_pieces
from tenter.report.on_screen import wardrobe_words
from tenter.web.garments import wardrobe_rows
from tenter.web.models import Access, Associate, AuditEntry, ClientWish, Sitting, WardrobePiece
from tenter.web.papers import palette_edits
from tests.web.conftest import browser_of

OWNED = ({"name": "blouse", "kind": "top", "role": "near_face"}, {"name": "jeans", "kind": "bottom", "colour": "denim"})
WISHES = (
    {"name": "shirt", "kind": "top", "role": "near_face", "price": "45", "wished": "on"},
    {"name": "chinos", "kind": "bottom", "role": "away", "price": "60", "wished": "on"},
)


@pytest.fixture
def address(client_row):
    return f"/people/{client_row.pk}/wardrobe"


@pytest.fixture
def send(visitor, address):
    return lambda **said: visitor.post(address, {"colour": "navy"} | said)


@pytest.fixture
def filled(send):
    for said in (*OWNED, *WISHES):
        assert send(**said).status_code == 302


def said(answer):
    return " ".join(html.unescape(answer.text).split())


def pieces(owner, client_row):
    against = wardrobe_rows.measure_for(owner, client_row)
    found = wardrobe_rows.held_pieces(client_row, against)
    return against, *(wardrobe_rows.pieces(found, wished=wished) for wished in (False, True))


@pytest.mark.usefixtures("filled")
def test_each_piece_is_told_as_the_command_tells_it_and_nothing_is_to_be_thrown_away(
    visitor, owner, client_row, address
):
    page = said(visitor.get(address))
    _, owned, wished = pieces(owner, client_row)
    assert [piece.name for piece in owned] == ["blouse", "jeans"]
    assert all(wardrobe_words.piece_words(piece) in page for piece in owned)
    assert wardrobe_words.NOTHING_THROWN in page
    assert "One outfit from what they have." in page
    assert "Thirty days without buying" in page
    assert "blouse and jeans" in page
    assert len(wished) == 2


@pytest.mark.usefixtures("filled")
def test_what_to_buy_keeps_to_the_money_and_to_the_pieces_of_the_clients_budget(visitor, owner, client_row, address):
    against, owned, wished = pieces(owner, client_row)
    found = buy_list(owned, wished, 110, against.contrast)
    page = said(visitor.get(address, {"budget": "110"}))
    assert all(line in page for line in wardrobe_words.buy_words(found))
    assert all(wardrobe_words.purchase_words(purchase) in page for purchase in found.every)
    assert "Buy shirt and chinos" in page
    ClientWish.objects.create(client=client_row, kind="budget", about="1", by=owner)
    assert "Buy shirt and chinos" not in said(visitor.get(address, {"budget": "110"}))
    assert visitor.get(address, {"budget": "much"}).context["spend"].errors


@pytest.mark.usefixtures("filled")
def test_a_piece_is_worn_bought_and_taken_off_the_list(visitor, client_row, address):
    def act(name, act):
        visitor.post(f"/pieces/{WardrobePiece.objects.get(name=name).pk}", {"act": act})

    act("blouse", "worn")
    act("blouse", "worn")
    act("blouse", "burnt")
    act("shirt", "bought")
    act("jeans", "off")
    assert WardrobePiece.objects.get(name="blouse").wears == 2
    assert not WardrobePiece.objects.get(name="shirt").wished
    assert set(client_row.wardrobe.values_list("name", flat=True)) == {"blouse", "shirt", "chinos"}
    assert "22.50 a wear so far" not in said(visitor.get(address))
    act("shirt", "worn")
    assert "45.00 a wear so far" in said(visitor.get(address))


@pytest.mark.parametrize(
    ("fields", "problem"),
    [
        ({"name": "hat", "kind": "top", "colour": "bleen"}, "No colour 'bleen'"),
        ({"name": "hat", "kind": "hat"}, "Select a valid choice"),
        ({"name": " ", "kind": "top"}, "This field is required"),
        ({"name": "coat", "kind": "layer", "price": "-1"}, "greater than or equal to 0"),
        ({"name": "blouse", "kind": "top"}, "in the wardrobe already"),
    ],
)
def test_what_cannot_be_a_piece_is_said_and_not_kept(send, fields, problem):
    send(name="blouse", kind="top")
    answer = send(**fields)
    assert answer.status_code == 422
    assert problem in html.unescape(answer.text)
    assert WardrobePiece.objects.count() == 1


def test_a_colour_that_left_the_palette_is_said_and_the_rest_stands(visitor, owner, client_row, send, address):
    row = client_row.sittings.get()
    white = wardrobe_rows.measure_for(owner, client_row).palette.of_part(Part.WHITE)[0]
    palette_edits.keep_edit(row, palette_edits.edit_from({"edit": "swap", "colour": _key(white), "chosen": _OWN}), "k")
    send(name="shirt", kind="top", colour="my own white")
    send(name="blouse", kind="top")
    palette_edits.take_back_edit(row, "l")
    page = said(visitor.get(address))
    assert "No colour 'my own white' is known" in page
    assert wardrobe_words.piece_words(pieces(owner, client_row)[1][0]) in page


_OWN = {"lab": [91.0, 1.0, 6.0], "name": "my own white", "cloth": ""}


def _key(colour):
    return colour.cloth or " ".join(f"{value:.1f}" for value in colour.lab)


TABLE = 'name,kind,colour,role,wears\nblouse,top,"66,35,30",,20\ncoat,layer,camel,near face,\n'


def upload(visitor, address, text, **said):
    return visitor.post(address, {"table": SimpleUploadedFile("w.csv", text.encode(), "text/csv")} | said)


def test_a_table_comes_in_whole_and_goes_out_as_the_command_reads_it(visitor, owner, client_row, address, tmp_path):
    assert upload(visitor, address, TABLE).status_code == 302
    upload(visitor, address, "name,kind,colour,price\nshirt,top,apricot,45\n", wishes="on")
    blouse, coat, shirt = client_row.wardrobe.all()
    assert (blouse.colour, blouse.wears, blouse.role, coat.role) == ("66,35,30", 20, "", "near_face")
    assert (shirt.wished, shirt.price) == (True, 45)
    (tmp_path / "owned.csv").write_text(visitor.get(f"{address}.csv").text, encoding="utf-8")
    against, owned, _ = pieces(owner, client_row)
    back = read_pieces(tmp_path / "owned.csv", against.palette, against.known)
    assert [(p.name, p.kind, p.role, p.wears) for p in back] == [(p.name, p.kind, p.role, p.wears) for p in owned]
    assert visitor.get(f"{address}.csv?wishes").text.splitlines()[1].startswith("shirt,top,apricot,,45")


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ("name,kind,colour\ncoat,layer,camel\nhat,hat,navy\n", "row 3, column kind: no kind of piece is called 'hat'"),
        ("name,kind,colour\ncoat,layer,camel\nblouse,top,navy\n", "'blouse' is in the wardrobe already"),
        (f"name,kind,colour\ncoat,layer,camel\n{'x' * 81},top,navy\n", "use at most 80 letters for a name"),
        ("name,colour\ncoat,camel\n", "kind"),
    ],
)
def test_a_table_with_a_fault_brings_nothing(visitor, send, address, text, problem):
    send(name="blouse", kind="top")
    answer = upload(visitor, address, text)
    assert answer.status_code == 422
    assert problem in html.unescape(answer.text)
    assert [row.name for row in WardrobePiece.objects.all()] == ["blouse"]


def test_without_a_verdict_there_is_nothing_to_hold_it_against(visitor, client_row, send, address):
    Sitting.objects.filter(client=client_row).update(revealed_at=None)
    assert "Reveal a verdict of theirs first." in said(visitor.get(address))
    send(name="blouse", kind="top")
    assert not WardrobePiece.objects.exists()


def test_it_goes_with_the_client_and_is_another_studios_never(send, owner, person, stranger, client_row, address):
    send(name="blouse", kind="top")
    assert AuditEntry.objects.filter(action="client's wardrobe changed").count() == 1
    bea, piece = person("Bea Thorn"), WardrobePiece.objects.get()
    Associate.objects.create(owner=owner, user=bea)
    for user in (bea, stranger):
        assert browser_of(user).get(address).status_code == 404
        assert browser_of(user).post(f"/pieces/{piece.pk}", {"act": "off"}).status_code == 404
    Access.objects.create(client=client_row, user=bea)
    assert browser_of(bea).get(address).status_code == 200
    client_row.delete()
    assert not WardrobePiece.objects.exists()
