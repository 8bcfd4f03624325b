"""What a request sends is limited before it is kept, and what is kept for a moment stays in the studio's own folder."""

import tempfile
from functools import partial

import pytest
from asgiref.sync import async_to_sync
from django.conf import settings

from tenter.web.pictures.body_limit import FORM, LARGEST_BACKUP, largest_body, limited
from tenter.web.pictures.pictures import LARGEST_UPLOAD
from tenter.web.server import temporary_files

COOKIE = "tenter_session"
MOST = partial(largest_body, session_cookie=COOKIE)
KNOWN = (b"cookie", b"tenter_session=abc; tenter_csrf=def")


def scope(path="/login", *headers):
    return {"type": "http", "path": path, "headers": list(headers)}


class Sent:
    """A body that comes in parts, and what is answered."""

    def __init__(self, *parts):
        self.coming = [{"type": "http.request", "body": part, "more_body": True} for part in parts]
        if self.coming:
            self.coming[-1]["more_body"] = False
        self.seen, self.answers = b"", []

    async def receive(self):
        return self.coming.pop(0)

    async def send(self, message):
        self.answers.append(message)

    async def application(self, scope, receive, send):
        """Read a body to its end, and say that it was seen."""
        more = True
        while more:
            message = await receive()
            self.seen += message["body"]
            more = message["more_body"]
        await send({"type": "http.response.start", "status": 200, "headers": []})

    def through(self, asked):
        async_to_sync(limited(self.application, MOST))(asked, self.receive, self.send)
        return self.answers[0]["status"]


def test_who_is_not_logged_in_sends_forms_alone():
    assert largest_body(scope("/people/1/photographs"), COOKIE) == FORM
    assert largest_body(scope("/studio/restore"), COOKIE) == FORM
    assert largest_body(scope("/people/1/photographs", KNOWN), COOKIE) == LARGEST_UPLOAD + FORM
    assert largest_body(scope("/studio/restore", KNOWN), COOKIE) == LARGEST_BACKUP + FORM


def test_a_body_that_is_allowed_arrives_whole():
    sent = Sent(b"a" * 400_000, b"b" * 500_000)
    assert sent.through(scope()) == 200
    assert sent.seen == b"a" * 400_000 + b"b" * 500_000


def test_a_body_that_is_declared_too_large_is_thrown_away_unseen():
    sent = Sent(b"a" * 10, b"b" * 10)
    assert sent.through(scope("/login", (b"content-length", b"1000001"))) == 413
    assert sent.seen == b""
    assert sent.coming == []  # read to its end: a browser shows the answer only then
    assert b"larger than 1 MB" in sent.answers[1]["body"]


@pytest.mark.parametrize("parts", [[b"a" * 600_000, b"b" * 600_000, b"c"], [b"a" * 600_000, b"b" * 600_000]])
def test_a_body_that_grows_too_large_is_stopped_whatever_was_declared(parts):
    sent = Sent(*parts)
    assert sent.through(scope("/login", (b"content-length", b"12"))) == 413
    assert len(sent.seen) == 600_000
    assert sent.coming == []


def test_what_is_no_request_goes_through():
    seen = []

    async def application(scope, receive, send):
        seen.append(scope["type"])

    async_to_sync(limited(application, MOST))({"type": "lifespan"}, None, None)
    assert seen == ["lifespan"]


def test_no_photograph_that_may_be_sent_is_spooled_to_a_disk():
    assert settings.FILE_UPLOAD_MAX_MEMORY_SIZE >= LARGEST_UPLOAD
    assert largest_body(scope("/people/1/photographs", KNOWN), COOKIE) <= settings.FILE_UPLOAD_MAX_MEMORY_SIZE


def test_a_backup_that_is_taken_in_is_spooled_to_the_studios_own_folder():
    assert settings.FILE_UPLOAD_TEMP_DIR.parent == settings.DATA_DIR


def test_what_is_temporary_is_written_into_the_studios_own_folder(tmp_path, monkeypatch):
    monkeypatch.setattr(tempfile, "tempdir", "/tmp")
    monkeypatch.setenv("TMPDIR", "/nowhere")
    temporary_files.keep_them_in(tmp_path)
    with tempfile.NamedTemporaryFile() as file:
        assert file.name.startswith(f"{tmp_path}/passing/")
    assert (tmp_path / "passing").stat().st_mode & 0o777 == 0o700


def test_what_an_earlier_server_left_is_removed(tmp_path):
    folder = temporary_files.folder_in(tmp_path)
    (folder / "tmpface.upload").write_bytes(b"a face")
    (folder / "paper").mkdir()
    (folder / "paper" / "face.png").write_bytes(b"a face")
    outside = tmp_path / "kept"
    outside.mkdir()
    (folder / "link").symlink_to(outside)
    assert temporary_files.forget_all(tmp_path) == 3
    assert list(folder.iterdir()) == []
    assert outside.exists()
