"""What is done in a process that `killed.py` kills: one of its words, or a command of the web app's own.

`fill` lays in a demo studio, `earlier` a larger one as an earlier version had it, `fit` prints how many rows refer to
none, `more` adds a client and a sitting, `photographs` sends photographs until it is killed and prints the number of
each that was confirmed, `open` prints those that are there and can be opened, `read` reads a backup.
"""

import io
import sys
from pathlib import Path
from typing import Any

import django

_OWNER = "Wenna Castrall"
_EARLIER = "0006"  # what was before consents, wishes, papers and wardrobes


def _owner() -> Any:
    from django.contrib.auth import get_user_model  # noqa: PLC0415

    return get_user_model().objects.get(username=_OWNER)


def fill() -> None:
    from django.contrib.auth import get_user_model  # noqa: PLC0415
    from django.core.management import call_command  # noqa: PLC0415

    from tenter.web.studio.demo import load_demo_studio  # noqa: PLC0415

    call_command("migrate", verbosity=0)
    load_demo_studio(get_user_model().objects.create_user(_OWNER, password="cloth and daylight"))


def earlier() -> None:
    """Lay in a studio with photographs and a hundred sittings more, and take its tables back to an earlier version."""
    from django.core.management import call_command  # noqa: PLC0415
    from django.db import connection  # noqa: PLC0415

    from tenter.web.models import Client, Photograph  # noqa: PLC0415

    fill()
    _add_sittings(100)
    client, owner = Client.objects.get(name="Invented"), _owner()
    for number in range(5):
        Photograph.objects.create(client=client, by=owner, chart="none", state="done", progress=number)
    call_command("migrate", "tenter", _EARLIER, verbosity=0)
    with connection.cursor() as cursor:  # as the form of then was told; the consents are made of it
        cursor.execute("UPDATE tenter_photograph SET purposes = %s", ['["measure", "compare", "sheet"]'])


def _add_sittings(count: int) -> int:
    """Add sittings of one client, each with the entries of a demo sitting."""
    from tenter.web.models import Client, KitRecord, Sitting, SittingEvent  # noqa: PLC0415

    client, kit = Client.objects.create(owner=_owner(), name="Invented"), KitRecord.objects.get()
    events = list(SittingEvent.objects.filter(sitting=Sitting.objects.earliest("pk")))
    rows = Sitting.objects.bulk_create(
        Sitting(client=client, analyst=client.owner, kit=kit, method="four-by-three", seed=number)
        for number in range(count)
    )
    copies = [(row, event) for row in rows for event in events]
    made = (SittingEvent(sitting=r, number=e.number, kind=e.kind, payload=e.payload, key=e.key) for r, e in copies)
    return len(SittingEvent.objects.bulk_create(made))


def fit() -> None:
    """Print how many rows refer to one that is not there."""
    from django.db import connection  # noqa: PLC0415

    with connection.cursor() as cursor:
        print(len(cursor.execute("PRAGMA foreign_key_check").fetchall()))


def more() -> None:
    from tenter.web.models import Client, KitRecord  # noqa: PLC0415
    from tenter.web.store import store  # noqa: PLC0415

    client = Client.objects.create(owner=_owner(), name="Ada")
    store.start_sitting(client, _owner(), KitRecord.objects.get(owner=_owner()))


def photographs() -> None:
    from datetime import timedelta  # noqa: PLC0415

    from django.core.files.uploadedfile import SimpleUploadedFile  # noqa: PLC0415
    from django.test import Client as Browser  # noqa: PLC0415
    from django.utils import timezone  # noqa: PLC0415
    from PIL import Image  # noqa: PLC0415

    from tenter.consultation.client.consent import asked  # noqa: PLC0415
    from tenter.web.models import Client  # noqa: PLC0415
    from tenter.web.rules import consents  # noqa: PLC0415

    browser, client = Browser(SERVER_NAME="127.0.0.1"), Client.objects.filter(owner=_owner()).first()
    browser.force_login(_owner())
    consents.give_consent(
        client, [one.purpose for one in asked(client.minor)], consents.usual_end(), _owner(), "Orla Venn"
    )
    out = io.BytesIO()
    Image.new("RGB", (320, 240), (128, 120, 110)).save(out, "JPEG")
    day = (timezone.localdate() + timedelta(days=20)).isoformat()
    while True:
        picture = SimpleUploadedFile("portrait.jpg", out.getvalue(), "image/jpeg")
        said = {"chart": "classic24", "values": "mean-of-30", "deletes_on": day, "picture": picture}
        answer = browser.post(f"/people/{client.pk}/photographs", said)
        if answer.status_code != 302:
            sys.exit(f"a photograph was answered by {answer.status_code}: {dict(answer.context['form'].errors)}")
        print(answer["Location"].rsplit("/", 1)[1], flush=True)


def opened() -> None:
    from tenter.web.models import Photograph  # noqa: PLC0415
    from tenter.web.pictures import pictures  # noqa: PLC0415

    for row in Photograph.objects.order_by("pk"):
        if pictures.opened_picture(row)[:2] == b"\xff\xd8":
            print(row.pk)


def read(path: str) -> None:
    from tenter.errors import TenterError  # noqa: PLC0415
    from tenter.web.backups.backup_file import read_backup  # noqa: PLC0415

    try:
        read_backup(Path(path))
    except TenterError:
        print("refused")
    else:
        print("whole")


if __name__ == "__main__":
    word, *more_words = sys.argv[1:]
    django.setup()
    ours = {"fill": fill, "earlier": earlier, "fit": fit, "more": more, "photographs": photographs, "open": opened}
    if word == "read":
        read(*more_words)
    elif word in ours:
        ours[word]()
    else:
        from django.core.management import call_command

        call_command(word, *more_words)
