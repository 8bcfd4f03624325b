"""A login lasts from the last page opened, and not every request writes that down.

It is written at most once in ten minutes, for each write reaches the disk before the next pair is shown.
"""

import time

from django.http import HttpRequest
from django.utils.deprecation import MiddlewareMixin

_SECONDS = 600
_KEY = "opened"


class RollingSession(MiddlewareMixin):
    """Moves the end of a login on with the pages that are opened."""

    def process_request(self, request: HttpRequest) -> None:
        """Note the time in the session, unless it was noted a little while ago."""
        session = request.session
        now = int(time.time())
        if not session.is_empty() and now - session.get(_KEY, 0) >= _SECONDS:
            session[_KEY] = now
