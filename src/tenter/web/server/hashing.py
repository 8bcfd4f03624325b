"""How passwords are kept: by Argon2, and at most two of them worked out at once.

Each takes 100 MB for as long as it lasts. Forty logins at once would take 4 GB; so the others wait for their turn.
"""

from threading import BoundedSemaphore

from django.contrib.auth.hashers import Argon2PasswordHasher

AT_ONCE = 2
_turns = BoundedSemaphore(AT_ONCE)


class TwoAtOnce(Argon2PasswordHasher):
    """Argon2 as Django sets it, by turns."""

    def encode(self, password: str, salt: str) -> str:
        """Return what is kept of a password."""
        with _turns:
            return str(super().encode(password, salt))

    def verify(self, password: str, encoded: str) -> bool:
        """Whether a password is the one that is kept."""
        with _turns:
            return bool(super().verify(password, encoded))
