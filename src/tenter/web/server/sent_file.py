"""A large file sent bit by bit: never whole in memory, and gone from the disk once it is sent or nobody takes it."""

import asyncio
import os
from collections.abc import AsyncIterator
from pathlib import Path
from typing import IO

from django.http import StreamingHttpResponse

_CHUNK = 1 << 20  # bytes in memory at a time; set by judgement


def sent_once(path: Path, name: str, content_type: str) -> StreamingHttpResponse:
    """Return an answer that a browser keeps as a file of a name; the file here is removed at once."""
    file = path.open("rb")
    path.unlink()  # it lasts as long as it is open
    answer = StreamingHttpResponse(_Chunks(file), content_type=content_type)
    answer["Content-Disposition"] = f'attachment; filename="{name}"'
    answer["Content-Length"] = str(os.fstat(file.fileno()).st_size)
    answer["Cache-Control"] = "no-store"
    return answer


class _Chunks:
    """The bytes of a file bit by bit; Django closes it with the answer, whether it was taken or not."""

    def __init__(self, file: IO[bytes]) -> None:
        self._file = file

    async def __aiter__(self) -> AsyncIterator[bytes]:
        while chunk := await asyncio.to_thread(self._file.read, _CHUNK):
            yield chunk

    def close(self) -> None:
        self._file.close()
