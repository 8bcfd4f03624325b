"""A picture's row measured, in the background: the states it goes through, and what of it is sealed in the row.

Every try has a number, the row's turn. A worker writes only while its try is the row's latest, so that a task that
comes twice, or a worker that was given up on and was only slow, changes nothing.
"""

import json
from collections.abc import Callable, Mapping
from dataclasses import Field, asdict
from typing import TYPE_CHECKING, Any, ClassVar, Protocol, TypeVar

from django.db.models import F, QuerySet
from django.utils import timezone
from django.utils.translation import gettext as _

from tenter.errors import TenterError
from tenter.kept_words import keeping_words, without_marks
from tenter.web.models import Measured, Picture
from tenter.web.pictures import pictures
from tenter.web.pictures.kept_sentences import kept_with_sentences, said_again
from tenter.web.rules import access, consents
from tenter.web.rules.client_language import studio_language
from tenter.web.sealing import vault
from tenter.web.server.in_language import in_language

if TYPE_CHECKING:
    from _typeshed import DataclassInstance

OPENED, MEASURED = 20, 90  # percent
State = Measured.State
M = TypeVar("M", bound=Measured)


class TryResult(Protocol):
    """What a try comes to: a data class of plain values."""

    __dataclass_fields__: ClassVar[dict[str, "Field[Any]"]]

    @property
    def document(self) -> Mapping[str, Any]:
        """The public JSON, which says whether the picture was `accepted`."""
        ...


def ask_again(model: type[Measured], pk: int) -> int | None:
    """Put a picture in line for another try and return the try's number; None where there is no such row."""
    now = model._default_manager.filter(pk=pk)
    if not now.update(state=State.QUEUED, turn=F("turn") + 1, progress=0, heartbeat=timezone.now(), problem=""):
        return None
    return int(now.values_list("turn", flat=True)[0])


def measure_try(model: type[M], pk: int, turn: int, measured: Callable[[M, QuerySet[M]], TryResult]) -> None:
    """Measure a picture, unless this try is done, under way or no longer the latest.

    measured: takes the row, and the row's query to tell how far it is; returns a data class whose `document` says
    whether the picture was accepted. What it says is in the language of the studio, and kept with its sentences.
    """
    mine = model._default_manager.filter(pk=pk, turn=turn)
    if not mine.filter(state=State.QUEUED).update(state=State.MEASURING, heartbeat=timezone.now()):
        return
    row = mine.first()
    if row is not None:
        with in_language(studio_language(access.studio_owner(row.by))):
            _measure(row, mine, measured)


def _measure(row: M, mine: QuerySet[M], measured: Callable[[M, QuerySet[M]], TryResult]) -> None:
    try:
        _refuse_what_may_not_be(row)
        with keeping_words():
            result = measured(row, mine)
    except TenterError as error:
        _fail(mine, without_marks(str(error)))
    except Exception as error:
        said = _("this photograph could not be measured (%(error)s); try another")
        _fail(mine, said % {"error": type(error).__name__})
        raise
    else:
        done = State.DONE if result.document["accepted"] else State.REFUSED
        kept = sealed_document(kept_with_sentences(asdict(result)), f"{row.name} result")
        mine.update(state=done, progress=100, heartbeat=timezone.now(), result=kept, problem="")


def _refuse_what_may_not_be(row: Measured) -> None:
    """Raise where the client has agreed no more since it was put in line, or where the picture is past its day."""
    if row.shown_client is not None:
        consents.refuse_if_ended(row.shown_client)
    if isinstance(row, Picture) and row.past_its_day:
        raise pictures.PastItsDay


def note_progress(mine: QuerySet[M], percent: int) -> None:
    """Write down how far a try is."""
    mine.update(progress=percent, heartbeat=timezone.now())


def _fail(mine: QuerySet[M], why: str) -> None:
    mine.update(state=State.FAILED, heartbeat=timezone.now(), problem=why[:400])


# -- what is sealed in the row -----------------------------------------------------------------------------------------


def result_of(row: Measured) -> Any:
    """Return what was measured as plain values, its words in the language that is written, or None before that.

    Raises `Tampered` or `Locked`.
    """
    return said_again(opened_document(row.result, f"{row.name} result")) if row.result else None


def corrections_of(row: Picture) -> Any:
    """Return what a person has said of a picture as plain values, or None; raises as `result_of`."""
    return opened_document(row.corrections, f"{row.name} corrections") if row.corrections else None


def sealed_corrections(name: str, corrections: "DataclassInstance") -> str:
    """Return a data class of corrections as the row of that name keeps it."""
    return sealed_document(asdict(corrections), f"{name} corrections")


def sealed_document(document: Mapping[str, Any], record: str) -> str:
    """Return a document as a row keeps it; `record` names the row and the part of it that it belongs to."""
    return vault.seal(json.dumps(document).encode(), record).hex()


def opened_document(text: str, record: str) -> Any:
    """Return a document again; raises `Tampered` or `Locked`."""
    try:
        content = bytes.fromhex(text)
    except ValueError:
        raise vault.Tampered from None
    return json.loads(vault.unseal(content, record))
