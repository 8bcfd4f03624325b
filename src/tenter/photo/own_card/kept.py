"""The cards that were measured here: their values by number, each in a file of its own."""

import re
from pathlib import Path

from tenter.errors import UnreadableInput
from tenter.language import _
from tenter.photo.files.kept import Kept, folder_of, looked_into
from tenter.photo.own_card.values import OwnCardValues, read_card_values

_NAME = re.compile(r"card-(\d{1,5})\.json")


def kept_values_path(serial: int) -> Path:
    """Return where the values of a card are kept when no file is named."""
    return values_path_in(_folder(), serial)


def values_path_in(folder: Path, serial: int) -> Path:
    """Return where a card's values are in a folder of them."""
    return folder / f"card-{serial}.json"


def kept_values(serial: int) -> OwnCardValues | None:
    """Return the values kept for a serial, or None when there are none.

    Raises
    ------
    UnreadableInput
        If their file cannot be read, or holds those of another card.
    """
    path = kept_values_path(serial)
    if not path.is_file():
        return None
    values = read_card_values(path)
    if values.serial != serial:
        raise UnreadableInput(
            str(path),
            _("it holds the values of card No. {serial}", serial=values.serial),
            _("Calibrate the card again"),
        )
    return values


def kept_cards() -> tuple[Kept[int, OwnCardValues], ...]:
    """Return every card whose values are kept, by its number."""
    return tuple(looked_into(serial, kept_values_path(serial), kept_values) for serial in kept_serials())


def kept_serials() -> tuple[int, ...]:
    """Return the numbers of the cards whose values are kept, without reading them."""
    if not _folder().is_dir():
        return ()
    named = (_NAME.fullmatch(path.name) for path in _folder().iterdir())
    return tuple(sorted(int(match[1]) for match in named if match))


def _folder() -> Path:
    return folder_of("cards")
