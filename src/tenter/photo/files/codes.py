"""What the QR codes in a photograph say: it is read in a process of its own, and the texts alone come back."""

from typing import Final

from tenter.photo.decoders.decoded import MAX_WORKING_SIDE
from tenter.photo.decoders.signature import kind_of
from tenter.photo.files.apart import unpack_apart

_UNPACK_CODES: Final = "tenter.photo.decoders.codes:unpack_codes"


def codes_in(content: bytes, name: str) -> tuple[str, ...]:
    """Return the different texts of the QR codes in a photograph's bytes, none for none that can be read.

    `name` is only used in messages. Raises as `photo_from_bytes`.
    """
    return unpack_apart(content, name, kind_of(content, name), MAX_WORKING_SIDE, by=_UNPACK_CODES).notes
