"""Server-sent events that keep the devices of one sitting in step."""

import asyncio
from collections.abc import AsyncIterator

from tenter.web.models import SittingEvent

_EVERY_SECONDS = 0.3
_LOOKS = 1000  # then the browser connects anew, and whether it may look is asked again
_LOOKS_UNTIL_SIGN = 50


async def event_numbers(pk: int, looks: int = _LOOKS) -> AsyncIterator[str]:
    """Yield the number of a sitting's last event now, and again whenever it changes."""
    last = -1
    for look in range(looks):
        number = await SittingEvent.objects.filter(sitting_id=pk).acount()
        if number != last:
            last = number
            yield f"data: {number}\n\n"
        elif look % _LOOKS_UNTIL_SIGN == 0:
            yield ": still here\n\n"
        await asyncio.sleep(_EVERY_SECONDS)
