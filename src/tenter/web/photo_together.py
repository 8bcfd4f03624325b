"""A client's photographs beside one another: whether they agree, and what they come to together."""

from collections.abc import Iterable
from typing import Any

from tenter.web.models import Photograph


def of_client(_rows: Iterable[Photograph]) -> Any:
    """Return what the photographs that may be laid side by side come to together, or None."""
    return None


def with_others(_row: Photograph, _seen: Any) -> Any:
    """Return how one photograph agrees with the others of its client."""
    return None
