"""The files of a client’s archive: pictures opened, papers drawn, each sitting’s events; and what is left out, why."""

import json
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from functools import partial
from typing import Any

from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from tenter.errors import TenterError
from tenter.report.handing_over.handed_file import HandedFile
from tenter.web.archives import client_rows
from tenter.web.archives.client_rows import Rows
from tenter.web.models import Client, Measured, Photograph, PhotoSeries, Picture, Sitting, ThingPhotograph
from tenter.web.papers import handed
from tenter.web.pictures import pictures, tries
from tenter.web.rules import consents

ARCHIVE_PHOTOGRAPHS, PAPERS, SITTINGS = "photographs/", "papers/", "sittings/"
SEALED = ("result", "corrections")  # fields of measured rows whose text is sealed in the database
_CALLED = {
    Photograph: gettext_lazy("photograph of %(moment)s"),
    ThingPhotograph: gettext_lazy("thing photograph of %(moment)s"),
    PhotoSeries: gettext_lazy("photo series of %(moment)s"),
}
_SEALED_OF = {
    "result": gettext_lazy("result of %(picture)s"),
    "corrections": gettext_lazy("corrections of %(picture)s"),
}
_JPEG = b"\xff\xd8"


@dataclass(slots=True)
class Gathered:
    """What goes into an archive besides its index, filled in by `gathered`."""

    rows: Rows
    files: dict[str, bytes] = field(default_factory=dict)  # by their place in the archive
    opened: dict[str, dict[str, Any]] = field(default_factory=dict)  # 'tenter.photograph 3' -> its sealed fields, open
    shots: list[tuple[Picture, str]] = field(default_factory=list)  # each picture with its place
    papers: dict[int, list[str]] = field(default_factory=dict)  # a sitting's number -> the places of its papers
    left_out: list[str] = field(default_factory=list)

    def put(self, what: str, place: str, make: Callable[[], bytes]) -> bool:
        """Put a file in its place, or say why it is left out; return whether it is in."""
        try:
            self.files[place] = make()
        except TenterError as error:
            self.left_out.append(_("%(what)s: %(reason)s") % {"what": what, "reason": error})
        return place in self.files


def gathered(client: Client) -> Gathered:
    """Return everything that there is of a client, opened."""
    found = Gathered(client_rows.rows_with(client))
    for picture in client_rows.pictures_in(found.rows):
        if picture.has_picture:
            _put_picture(found, picture)
    for row in _measured(found.rows):
        _open(found, row)
    for sitting in found.rows.get(Sitting, ()):
        what = _("sitting %(number)s") % {"number": sitting.pk}
        found.put(what, f"{SITTINGS}{sitting.pk}.json", partial(_events, sitting))
        _put_papers(found, sitting)
    return found


def called(row: Measured) -> str:
    """Return what a measured row of a client is called, with its moment."""
    return _CALLED[type(row)] % {"moment": date_format(timezone.localtime(row.taken_at), "DATETIME_FORMAT")}


def written(value: object) -> str:
    """Return a moment or a day as an archive writes it, to the microsecond."""
    return str(value.isoformat()) if hasattr(value, "isoformat") else str(value)


def _put_picture(found: Gathered, row: Picture) -> None:
    try:
        content = pictures.opened_picture(row)
    except TenterError as error:
        found.left_out.append(_("%(what)s: %(reason)s") % {"what": called(row), "reason": error})
        return
    place = f"{ARCHIVE_PHOTOGRAPHS}{row.name}.{'jpg' if content.startswith(_JPEG) else 'png'}"
    found.files[place] = content
    found.shots.append((row, place))


def _measured(rows: Rows) -> Iterable[Measured]:
    return (row for kind, of_kind in rows.items() if issubclass(kind, Measured) for row in of_kind)


def _open(found: Gathered, row: Measured) -> None:
    for name in SEALED:
        text = getattr(row, name, "")
        try:
            if text:
                opened = found.opened.setdefault(f"{row._meta.label_lower} {row.pk}", {})
                opened[name] = tries.opened_document(text, f"{row.name} {name}")
        except TenterError as error:
            what = _SEALED_OF[name] % {"picture": called(row)}
            found.left_out.append(_("%(what)s: %(reason)s") % {"what": what, "reason": error})


def _events(sitting: Sitting) -> bytes:
    document = {
        "sitting": sitting.pk,
        "kit": sitting.kit.name,
        "method": sitting.method,
        "seed": sitting.seed,
        "events": [{"at": event.at} | event.payload for event in sitting.events.order_by("number")],
    }
    return json.dumps(document, indent=1, default=written).encode("ascii")


def _put_papers(found: Gathered, sitting: Sitting) -> None:
    """Put each paper that was handed over; of a revealed sitting without any, its paper as it is now, if agreed to."""
    given: list[Callable[[], HandedFile]] = [
        partial(handed.papers_as_of, paper) for paper in sitting.handed_papers.order_by("pk")
    ]
    if not given and sitting.revealed_at:
        given = [partial(_paper_of_today, sitting)]
    for number, make in enumerate(given, start=1):
        place = f"{PAPERS}sitting-{sitting.pk}-{number}.pdf"
        what = _("papers of sitting %(number)s") % {"number": sitting.pk}
        if found.put(what, place, partial(_content, make)):
            found.papers.setdefault(sitting.pk, []).append(place)


def _paper_of_today(sitting: Sitting) -> HandedFile:
    consents.refuse_if_ended(sitting.client)
    return handed.papers(sitting)


def _content(make: Callable[[], HandedFile]) -> bytes:
    return make().content
