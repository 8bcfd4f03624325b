"""Server-sent events that keep the devices of one sitting in step."""

import asyncio
from collections.abc import AsyncIterator

from tenter.web.store import turns

_EVERY_SECONDS = 0.3
_LOOKS = 1000  # then the browser connects anew, and whether it may look is asked again
_LOOKS_UNTIL_SIGN = 50


async def event_numbers(pk: int, looks: int = _LOOKS) -> AsyncIterator[str]:
    """Yield how much has happened in a sitting now, and again whenever more has."""
    last = -1
    for look in range(looks):
        number = await turns.counting_query(pk).values_list("happened", flat=True).afirst()
        if number is None:  # erased meanwhile
            return
        if number != last:
            last = number
            yield f"data: {number}\n\n"
        elif look % _LOOKS_UNTIL_SIGN == 0:
            yield ": still here\n\n"
        await asyncio.sleep(_EVERY_SECONDS)
