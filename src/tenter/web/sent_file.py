"""A large file sent bit by bit: never whole in memory, and gone from the disk once it is sent or nobody takes it."""

import asyncio
import os
from collections.abc import AsyncIterator
from pathlib import Path
from typing import IO

from django.http import StreamingHttpResponse

_CHUNK = 1 << 20


def sent_once(path: Path, name: str, content_type: str) -> StreamingHttpResponse:
    """Return an answer that a browser keeps as a file of a name; the file here is removed at once."""
    file = path.open("rb")
    path.unlink()  # it lasts as long as it is open
    answer = StreamingHttpResponse(_in_chunks(file), content_type=content_type)
    answer["Content-Disposition"] = f'attachment; filename="{name}"'
    answer["Content-Length"] = str(os.fstat(file.fileno()).st_size)
    answer["Cache-Control"] = "no-store"
    return answer


async def _in_chunks(file: IO[bytes]) -> AsyncIterator[bytes]:
    with file:
        while chunk := await asyncio.to_thread(file.read, _CHUNK):
            yield chunk
