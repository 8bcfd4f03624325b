"""The values of our own cards, which `tenter card calibrate` keeps by number, in a backup and out of it.

They belong to the prints and not to the studio: putting a backup back takes none away, and of one card the later
measurement stays, since inks fade.
"""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

from tenter.errors import TenterError, UnreadableInput
from tenter.photo.own_card_kept import kept_cards, kept_values, kept_values_path
from tenter.photo.own_card_values import OwnCardValues, card_values_of

FOLDER = "cards/"  # in a backup


def in_backup() -> dict[str, bytes]:
    """Return the files of the cards that were measured here, by their place in a backup; none that cannot be used."""
    return {FOLDER + card.path.name: card.path.read_bytes() for card in kept_cards() if card.values is not None}


def out_of_backup(files: Mapping[str, bytes]) -> dict[int, bytes]:
    """Return a backup's files by the card's number; raises `TenterError` where one is not what its name says."""
    found = {}
    for name, content in files.items():
        try:
            values = card_values_of(content, name)
        except UnreadableInput as error:
            raise TenterError(f"holds a {name} that cannot be used ({error.problem})") from None
        if name != FOLDER + kept_values_path(values.serial).name:
            raise TenterError(f"holds the values of card No. {values.serial} as {name}")
        found[values.serial] = content
    return found


@contextmanager
def put_in_place(cards: Mapping[int, bytes]) -> Iterator[None]:
    """Keep the cards' files that are later than those here; after a fault in what follows, all is as it was."""
    read = {serial: card_values_of(content, f"card No. {serial}") for serial, content in cards.items()}
    later = {kept_values_path(serial): cards[serial] for serial, values in read.items() if _is_later(values)}
    before = {path: path.read_bytes() if path.is_file() else None for path in later}
    try:
        for path, content in later.items():
            _write(path, content)
        yield
    except BaseException:
        for path, was in before.items():
            _write(path, was)
        raise


def _is_later(values: OwnCardValues) -> bool:
    try:
        here = kept_values(values.serial)
    except UnreadableInput:
        return True
    return here is None or here.calibrated_on <= values.calibrated_on


def _write(path: Path, content: bytes | None) -> None:
    if content is None:
        path.unlink(missing_ok=True)
        return
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(content)
