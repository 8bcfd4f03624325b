"""What the command line keeps in files of its own, in a backup and out of it: values of our own cards, learned phones.

`tenter card calibrate` keeps the ones by number, `tenter camera learn` the others by name. They belong to prints and
phones and not to the studio: putting a backup back takes none away, and of one thing the later measurement stays, since
inks fade and phones are updated.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Self

from django.utils.translation import gettext as _

from tenter import durable
from tenter.errors import TenterError, UnreadableInput
from tenter.photo.own_card.kept import kept_cards, kept_values_path
from tenter.photo.own_card.values import card_values_of
from tenter.photo.phones.kept import camera_in, camera_path, kept_cameras


@dataclass(frozen=True, slots=True)
class KeptFile:
    """One such file: where it belongs here, what it holds in words, when that was measured, and its bytes."""

    path: Path
    holds: str
    measured_on: date
    content: bytes

    @classmethod
    def of_card(cls, content: bytes, source: str) -> Self:
        """Return the file of a card's values; raises `UnreadableInput` where the bytes are none."""
        values = card_values_of(content, source)
        holds = _("the values of card No. %(number)s") % {"number": values.serial}
        return cls(kept_values_path(values.serial), holds, values.calibrated_on, content)

    @classmethod
    def of_camera(cls, content: bytes, source: str) -> Self:
        """Return the file of a learned phone; raises `UnreadableInput` where the bytes are none."""
        camera = camera_in(content, source)
        holds = _("the phone %(name)s") % {"name": camera.name}
        return cls(camera_path(camera.name), holds, camera.learned_on, content)


@dataclass(frozen=True, slots=True)
class KeptFileKind:
    """One kind of such files: their folder in a backup, what its manifest counts them as, and how one is read."""

    folder: str
    counted_as: str
    read: Callable[[bytes, str], KeptFile]


CARD_FILES = KeptFileKind("cards/", "cards", KeptFile.of_card)
CAMERA_FILES = KeptFileKind("cameras/", "cameras", KeptFile.of_camera)
FILE_KINDS = (CARD_FILES, CAMERA_FILES)


def in_backup() -> dict[str, bytes]:
    """Return the files that are kept here, by their place in a backup; none that cannot be used."""
    cards = {CARD_FILES.folder + card.path.name: card.path for card in kept_cards() if card.value is not None}
    cameras = {CAMERA_FILES.folder + one.path.name: one.path for one in kept_cameras() if one.value is not None}
    return {place: path.read_bytes() for place, path in (cards | cameras).items()}


def files_of_kind(kind: KeptFileKind, places: Iterable[str]) -> int:
    """Count the files of a kind among places in a backup."""
    return sum(place.startswith(kind.folder) for place in places)


def out_of_backup(files: Mapping[str, bytes]) -> dict[str, KeptFile]:
    """Return a backup's files by their place in it; raises `TenterError` where one is not what its name says."""
    return {place: _checked(place, content) for place, content in files.items()}


def _checked(place: str, content: bytes) -> KeptFile:
    [kind] = (kind for kind in FILE_KINDS if place.startswith(kind.folder))
    try:
        found = kind.read(content, place)
    except UnreadableInput as error:
        unusable = _("holds a %(file)s that cannot be used (%(problem)s)")
        raise TenterError(unusable % {"file": place, "problem": error.problem}) from None
    if place != kind.folder + found.path.name:
        raise TenterError(_("holds %(what)s as %(file)s") % {"what": found.holds, "file": place})
    return found


@contextmanager
def put_in_place(files: Mapping[str, KeptFile]) -> Iterator[None]:
    """Keep the files that are later than those here; after a fault in what follows, all is as it was."""
    later = [file for place, file in files.items() if _is_later(file, place)]
    before = {file.path: file.path.read_bytes() if file.path.is_file() else None for file in later}
    try:
        for file in later:
            _write(file.path, file.content)
        yield
    except BaseException:
        for path, was in before.items():
            _write(path, was)
        raise


def _is_later(file: KeptFile, place: str) -> bool:
    """Whether a file is to take the place of what is here, if anything is."""
    try:
        return not file.path.is_file() or _checked(place, file.path.read_bytes()).measured_on <= file.measured_on
    except TenterError:
        return True


def _write(path: Path, content: bytes | None) -> None:
    if content is None:
        path.unlink(missing_ok=True)
        return
    path.parent.mkdir(parents=True, exist_ok=True)
    durable.write(path, content)
