"""The passphrase of the photographs, as long as this process knows it."""

import os

from tenter.web.sealing import stretching

VARIABLE = "TENTER_PHOTO_PASSPHRASE"


class Passphrase:
    """A passphrase and the keys that it made, forgotten together; it goes into no text, file or other process."""

    __slots__ = ("_made", "_said")

    def __init__(self, said: str = "") -> None:
        self.give(said)

    def give(self, said: str) -> None:
        """Know this one from now on, none where it is empty, and nothing of the one before."""
        self._said = said
        self._made: dict[bytes, bytes] = {}  # by salt: to make one takes a fifth of a second

    def take_from_environment(self) -> None:
        """Know the one of the environment, if any, and take it out, so that no process started from here has it.

        The system goes on showing the environment that this process was started with to its user and to root.
        """
        said = os.environ.pop(VARIABLE, "")
        if said:
            self.give(said)

    def __bool__(self) -> bool:
        return bool(self._said)

    def __len__(self) -> int:
        return len(self._said)

    def __repr__(self) -> str:
        return f"<Passphrase {'given' if self else 'not given'}>"

    def __reduce__(self) -> str:
        raise TypeError("a passphrase is not handed to another process or file")

    def secret_at(self, salt: bytes, cost: int) -> bytes:
        """Return the 32 bytes that it makes with a salt at a cost that a file names, a power of two."""
        return stretching.stretched(self._said, salt, cost)

    def secret(self, salt: bytes) -> bytes:
        """Return the 32 bytes of the key that it makes with a salt."""
        if salt not in self._made:
            self._made[salt] = stretching.stretched(self._said, salt, stretching.COST)
        return self._made[salt]


GIVEN = Passphrase()  # what this process was given, at its start, at the terminal or on the page of the key
