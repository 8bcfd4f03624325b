"""Where the key comes from: the keyring first, then a passphrase, and a file only when the owner says so."""

import keyring
import pytest
from keyring.backend import KeyringBackend
from keyring.backends.fail import Keyring as NoKeyring

from tenter.web import serve
from tenter.web.models import AuditEntry
from tenter.web.sealing import passphrase, photo_keys, vault
from tenter.web.sealing.passphrase import Passphrase
from tenter.web.sealing.photo_keys import Keeper, Locked
from tests.web.conftest import browser_of

WORD = "linen on the line"


class Memory(KeyringBackend):
    """A keyring that forgets with its test."""

    priority = 5

    def __init__(self):
        super().__init__()
        self.kept = {}

    def get_password(self, service, username):
        return self.kept.get((service, username))

    def set_password(self, service, username, password):
        self.kept[service, username] = password

    def delete_password(self, service, username):
        del self.kept[service, username]


@pytest.fixture(autouse=True)
def folder(tmp_path, monkeypatch):
    """A data folder of its own, no passphrase and no keyring."""
    monkeypatch.setenv("TENTER_DATA_DIR", str(tmp_path / "data"))
    monkeypatch.setattr(passphrase, "GIVEN", Passphrase())
    before = keyring.get_keyring()
    keyring.set_keyring(NoKeyring())
    yield tmp_path / "data"
    keyring.set_keyring(before)


@pytest.fixture
def ring():
    found = Memory()
    keyring.set_keyring(found)
    return found


def test_the_keyring_keeps_a_key_made_once(ring, folder):
    assert photo_keys.keeper() is Keeper.KEYRING
    sealed = vault.seal(b"a face", "one")
    assert vault.unseal(sealed, "one") == b"a face"
    assert len(ring.kept) == 1
    assert photo_keys.sealing_key() == photo_keys.sealing_key()
    assert len(ring.kept) == 1
    (secret,) = ring.kept.values()
    assert all(secret.encode() not in file.read_bytes() for file in folder.iterdir())
    keyring.set_keyring(NoKeyring())
    with pytest.raises(Locked, match="Nothing is lost"):
        vault.unseal(sealed, "one")
    with pytest.raises(Locked):
        vault.seal(b"another", "two")
    keyring.set_keyring(ring)
    assert vault.unseal(sealed, "one") == b"a face"


def test_a_keyring_of_another_machine_does_not_open_it(ring):
    sealed = vault.seal(b"a face", "one")
    ring.kept.clear()
    with pytest.raises(Locked, match="not on this computer"):
        vault.unseal(sealed, "one")


def test_without_keyring_and_word_nothing_is_sealed(folder):
    assert photo_keys.keeper() is Keeper.NOBODY
    assert "no keyring" in photo_keys.problem()
    assert not (folder / "photo-key").exists(), "no key file unless the owner says so"


def test_a_passphrase_seals_and_the_same_one_opens(monkeypatch, folder):
    monkeypatch.setattr(passphrase, "GIVEN", Passphrase(WORD))
    sealed = vault.seal(b"a face", "one")
    assert photo_keys.keeper() is Keeper.PASSPHRASE
    assert WORD.encode() not in b"".join(file.read_bytes() for file in folder.iterdir())
    monkeypatch.setattr(passphrase, "GIVEN", Passphrase(WORD + "!"))
    with pytest.raises(Locked, match="not the one"):
        vault.unseal(sealed, "one")
    with pytest.raises(Locked, match="not the one"):
        vault.seal(b"another", "two")
    monkeypatch.setattr(passphrase, "GIVEN", Passphrase())
    assert photo_keys.asks_at_start()
    with pytest.raises(Locked, match="until you give the passphrase"):
        vault.unseal(sealed, "one")
    monkeypatch.setattr(passphrase, "GIVEN", Passphrase("short"))
    with pytest.raises(Locked, match="5 characters"):
        vault.seal(b"x", "y")


def test_a_passphrase_after_a_keyring_leaves_the_old_ones_open(ring, monkeypatch):
    sealed = vault.seal(b"a face", "one")
    monkeypatch.setattr(passphrase, "GIVEN", Passphrase(WORD))
    newer = vault.seal(b"another", "two")
    assert (vault.unseal(sealed, "one"), vault.unseal(newer, "two")) == (b"a face", b"another")


def test_a_wrong_passphrase_stops_the_start_and_a_typed_one_is_taken(monkeypatch):
    monkeypatch.setattr(passphrase, "GIVEN", Passphrase(WORD))
    sealed = vault.seal(b"a face", "one")
    monkeypatch.setattr(passphrase, "GIVEN", Passphrase("wool on the line"))
    with pytest.raises(Locked, match="not the one"):
        serve._ask_for_passphrase()
    monkeypatch.setattr(passphrase, "GIVEN", Passphrase())
    monkeypatch.setattr("sys.stdin.isatty", lambda: True, raising=False)
    monkeypatch.setattr("getpass.getpass", lambda _prompt: WORD)
    serve._ask_for_passphrase()
    assert vault.unseal(sealed, "one") == b"a face"


@pytest.mark.parametrize(
    "content", [b"", b"{", b'{"keeper": "nobody else"}', b'{"keeper": "file", "id": 3, "salt": ""}']
)
def test_a_damaged_note_is_told_and_no_new_key_is_made(ring, folder, content):
    vault.seal(b"a face", "one")
    (folder / "photo-key.json").write_bytes(content)
    assert "damaged" in photo_keys.problem()
    assert len(ring.kept) == 1


def test_a_text_that_was_never_sealed_is_refused():
    for text in (b"", b"TNT1", bytes(200), b"TNT1\x09" + bytes(200)):
        with pytest.raises(vault.Tampered):
            vault.unseal(text, "one")


# -- on the page Studio ------------------------------------------------------------------------------------------------


def test_the_owner_has_a_key_file_made_after_plain_words(owner, folder):
    owner.is_superuser = True
    owner.save()
    visitor = browser_of(owner)
    page = visitor.get("/studio").text
    assert "Photographs cannot be kept yet" in page
    assert "Whoever takes the folder" in page
    assert visitor.post("/studio/photographs/key")["Location"] == "/studio"
    assert (folder / "photo-key").stat().st_mode & 0o777 == 0o600
    assert "the key is beside them" in visitor.get("/studio").text
    assert AuditEntry.objects.first().action == "photographs&#x27; key file made".replace("&#x27;", "'")
    key = (folder / "photo-key").read_bytes()
    visitor.post("/studio/photographs/key")
    assert (folder / "photo-key").read_bytes() == key
    sealed = vault.seal(b"a face", "one")
    assert vault.unseal(sealed, "one") == b"a face"


def test_nobody_else_makes_one(owner, folder):
    assert browser_of(owner).post("/studio/photographs/key").status_code == 404
    assert not (folder / "photo-key").exists()
