"""The way to the bench with chosen cloths on it."""

from collections.abc import Sequence
from urllib.parse import urlencode


def bench_link(sides: Sequence[str]) -> str:
    """Return the address, from another page of the sitting, of the bench holding these sides; a plus joins cloths."""
    return f"bench?{urlencode({'cloths': ' '.join(sides)})}"
