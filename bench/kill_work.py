"""What is done in a process that `killed.py` kills: one of its words, or a command of the web app's own.

`fill` lays in a demo studio, `more` adds a client and a sitting, `photographs` sends photographs until it is killed and
prints the number of each that was confirmed, `open` prints those that are there and can be opened, `read` reads a
backup.
"""

import io
import sys
from pathlib import Path
from typing import Any

import django

_OWNER = "Wenna Castrall"


def _owner() -> Any:
    from django.contrib.auth import get_user_model  # noqa: PLC0415

    return get_user_model().objects.get(username=_OWNER)


def fill() -> None:
    from django.contrib.auth import get_user_model  # noqa: PLC0415
    from django.core.management import call_command  # noqa: PLC0415

    from tenter.web.demo import load_demo_studio  # noqa: PLC0415

    call_command("migrate", verbosity=0)
    load_demo_studio(get_user_model().objects.create_user(_OWNER, password="cloth and daylight"))


def more() -> None:
    from tenter.web import store  # noqa: PLC0415
    from tenter.web.models import Client, KitRecord  # noqa: PLC0415

    client = Client.objects.create(owner=_owner(), name="Ada")
    store.start(client, _owner(), KitRecord.objects.get(owner=_owner()))


def photographs() -> None:
    from datetime import timedelta  # noqa: PLC0415

    from django.core.files.uploadedfile import SimpleUploadedFile  # noqa: PLC0415
    from django.test import Client as Browser  # noqa: PLC0415
    from django.utils import timezone  # noqa: PLC0415
    from PIL import Image  # noqa: PLC0415

    from tenter.consultation.consent import asked  # noqa: PLC0415
    from tenter.web import consents  # noqa: PLC0415
    from tenter.web.models import Client  # noqa: PLC0415

    browser, client = Browser(SERVER_NAME="127.0.0.1"), Client.objects.filter(owner=_owner()).first()
    browser.force_login(_owner())
    consents.give(client, [one.purpose for one in asked(client.minor)], consents.usual_end(), _owner(), "Orla Venn")
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
    from tenter.web import pictures  # noqa: PLC0415
    from tenter.web.models import Photograph  # noqa: PLC0415

    for row in Photograph.objects.order_by("pk"):
        if pictures.opened(row)[:2] == b"\xff\xd8":
            print(row.pk)


def read(path: str) -> None:
    from tenter.errors import TenterError  # noqa: PLC0415
    from tenter.web.backup_file import read_backup  # noqa: PLC0415

    try:
        read_backup(Path(path))
    except TenterError:
        print("refused")
    else:
        print("whole")


if __name__ == "__main__":
    word, *more_words = sys.argv[1:]
    django.setup()
    ours = {"fill": fill, "more": more, "photographs": photographs, "open": opened}
    if word == "read":
        read(*more_words)
    elif word in ours:
        ours[word]()
    else:
        from django.core.management import call_command

        call_command(word, *more_words)
