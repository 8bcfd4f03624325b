"""A photograph that is too large is let pass by unread, before it fills memory or disk."""

from typing import Any

from django.core.files.uploadhandler import FileUploadHandler, SkipFile
from django.http import HttpRequest

from tenter.web.pictures.pictures import LARGEST_UPLOAD

_ADDRESSES = ("/photographs", "/kit/cloths", "/garment", "/brought", "/device/camera", "/device/label")
_FORMS_OWN = 100_000  # bytes of a form besides its file
_TOO_LARGE = "photograph_too_large"  # what the request is then marked by


def is_too_large(request: HttpRequest) -> bool:
    """Whether a request came with a photograph that was let pass by."""
    return request.FILES is not None and getattr(request, _TOO_LARGE, False)  # which reading the files finds out


def _told_size(request: HttpRequest | None) -> int:
    return int(request.META.get("CONTENT_LENGTH") or 0) if request else 0


class PhotographLimit(FileUploadHandler):
    """Counts what comes in for a photograph, and says no before any of it is kept."""

    def new_file(self, *args: Any, **kwargs: Any) -> None:
        """Look at the size that the browser has told; raises `SkipFile` where it is too large."""
        super().new_file(*args, **kwargs)
        self._count = 0
        if self._counts and _told_size(self.request) > LARGEST_UPLOAD + _FORMS_OWN:
            self._refuse()

    def receive_data_chunk(self, raw_data: bytes, start: int) -> bytes:  # noqa: ARG002
        """Count what comes, whatever the browser has told; raises `SkipFile` once it is too much."""
        self._count += len(raw_data)
        if self._counts and self._count > LARGEST_UPLOAD:
            self._refuse()
        return raw_data

    def file_complete(self, file_size: int) -> None:  # noqa: ARG002
        """Leave the file to the next handler."""
        return

    @property
    def _counts(self) -> bool:
        return self.request is not None and self.request.path.endswith(_ADDRESSES)

    def _refuse(self) -> None:
        setattr(self.request, _TOO_LARGE, True)
        raise SkipFile
