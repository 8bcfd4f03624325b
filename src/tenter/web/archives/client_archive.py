"""Everything about one client as one zip file that is read without Tenter, and read back by it.

`index.html` says it to people, by itself and without a network; `client.json` holds every row for programs; pictures,
papers as PDF and each sitting's events are files of their own. What is sealed here is open in the archive: whoever
has the file reads it.
"""

import hashlib
import io
import json
import zipfile
from collections.abc import Iterable, Mapping, Sequence
from importlib.metadata import version
from typing import Any

from django.contrib.auth import get_user_model
from django.core import serializers
from django.db.models import Model
from django.template.loader import render_to_string
from django.utils import timezone

from tenter.errors import TenterError
from tenter.language import language
from tenter.report.handing_over.handed_file import HandedFile
from tenter.web.archives.client_archive_files import SEALED, SITTINGS, Gathered, called, gathered, written
from tenter.web.archives.client_rows import Rows
from tenter.web.bench.bench_words import entry_words
from tenter.web.models import Client, Sitting
from tenter.web.rules.client_language import in_clients_language
from tenter.web.store import store

ARCHIVE_FORMAT, ARCHIVE_VERSION = "tenter-client", 1
INDEX, DATA = "index.html", "client.json"


def archive_of(client: Client) -> HandedFile:
    """Return everything about a client as one zip file. What cannot be opened is left out, and the index says why."""
    with in_clients_language(client):  # they are given it
        found = gathered(client)
        index = _index(client, found).encode()
    content = json.dumps(_document(client, found), indent=1, default=written).encode("ascii")
    members = {INDEX: index, DATA: content, **found.files}
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as archive:
        for place, text in members.items():
            archive.writestr(place, text)
    return HandedFile(
        f"client-{client.pk}-{timezone.localdate().isoformat()}.zip", "application/zip", buffer.getvalue()
    )


# -- for programs ------------------------------------------------------------------------------------------------------


def _document(client: Client, found: Gathered) -> dict[str, Any]:
    sittings = found.rows.get(Sitting, ())
    sat_with = [row.kit for row in sittings]
    kits = {
        kit.pk: {"name": kit.name, "csv": kit.csv, "origin": kit.origin_id}
        for kit in (*sat_with, *(kit.origin for kit in sat_with if kit.origin))
    }
    methods = {row.own_method_id: row.own_method.toml for row in sittings if row.own_method}
    return {
        "format": ARCHIVE_FORMAT,
        "version": ARCHIVE_VERSION,
        "app_version": version("tenter"),
        "made": timezone.now(),
        "client": client.pk,
        "rows": {kind._meta.label_lower: plain_rows(rows) for kind, rows in found.rows.items()},
        "opened": found.opened,
        "kits": kits,
        "methods": methods,
        "users": _users(found.rows),
        "left_out": found.left_out,
        "sha256": {place: hashlib.sha256(content).hexdigest() for place, content in found.files.items()},
    }


def plain_rows(rows: Iterable[Model]) -> list[dict[str, Any]]:
    """Return rows as an archive writes them: plain values, and what is sealed left to be written open beside them."""
    plain: list[dict[str, Any]] = serializers.serialize("python", rows)
    for row in plain:
        row["fields"] |= dict.fromkeys((name for name in SEALED if _is_sealed(row, name)), "")
    return plain


def _is_sealed(row: Mapping[str, Any], name: str) -> bool:
    return name in row["fields"] and "heartbeat" in row["fields"]  # as a measured row has


def _users(rows: Rows) -> dict[int, str]:
    """Return the names by which the people log in whom rows refer to."""
    found: dict[int, str] = {}
    people = get_user_model()
    for kind, of_kind in rows.items():
        named = [field.name for field in kind._meta.concrete_fields if field.related_model is people]
        found |= {user.pk: user.username for row in of_kind for name in named if (user := getattr(row, name))}
    return found


# -- for people --------------------------------------------------------------------------------------------------------


def _index(client: Client, found: Gathered) -> str:
    sittings = [
        {
            "row": sitting,
            "entries": _entries(sitting),
            "papers": found.papers.get(sitting.pk, ()),
            "events": f"{SITTINGS}{sitting.pk}.json",
        }
        for sitting in found.rows.get(Sitting, ())
    ]
    context = {
        "client": client,
        "made": timezone.localtime(),
        "sittings": sittings,
        "shots": [(place, called(row), row) for row, place in found.shots],
        "tables": [_table(kind, rows) for kind, rows in found.rows.items()],
        "left_out": found.left_out,
        "language": language(),
    }
    return render_to_string("archives/archive.html", context)


def _entries(sitting: Sitting) -> list[tuple[str, bool]]:
    """Return a sitting's entries in words, each with whether it stands; raises nothing for one that cannot be read."""
    try:
        live = store.replayed(sitting, sitting.events.order_by("number").values_list("payload", flat=True))
    except TenterError:
        return []
    return [(entry_words(live.kit, entry), entry.stands) for entry in live.entries]


def _table(kind: type[Model], rows: Sequence[Model]) -> dict[str, object]:
    names = [field.name for field in kind._meta.concrete_fields if field.name not in SEALED]
    values = [[plain["fields"].get(name, plain["pk"]) for name in names] for plain in plain_rows(rows)]
    return {"title": str(kind._meta.verbose_name).capitalize(), "names": names, "rows": values}
