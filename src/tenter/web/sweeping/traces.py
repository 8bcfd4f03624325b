"""What is done after something was erased that papers and pages say: a letter, a wish, a piece, a face, a text.

A client or a sitting as a whole is erased by `client_erasing.py`, which leaves less behind and takes longer.
"""

from tenter.web.papers import handed
from tenter.web.server import clean_disk
from tenter.web.sweeping import kept_memory


def remove_traces() -> None:
    """Let go of what is kept in memory here and by other servers, and cut the database's log."""
    handed.forget_papers()
    kept_memory.tell_others()
    clean_disk.cut_log()
