"""How a consultant answers, learned from the sittings that they ended themselves, and where that is used.

What a sitting teaches is worked out when it ends and kept as a row; opened again, it teaches nothing until it ends
again. A new sitting takes along what is known at its start, so that its odds never change later. A blind second reading
neither uses it nor teaches.
"""

from collections.abc import Iterable
from dataclasses import asdict
from typing import Any

from django.contrib.auth.models import User
from django.db import transaction

from tenter.consultation.reading.analyst import style_evidence
from tenter.errors import TenterError
from tenter.inference.style_learning import LearnedStyle, StyleEvidence, learned_style
from tenter.web.models import AnswerLearning, Sitting, SittingStyle
from tenter.web.store import store


def learn(row: Sitting) -> None:
    """Keep what a sitting that has ended says of how its analyst answers."""
    if not row.ended or row.blind_to_id:
        return
    with store.load(row) as live:
        told = style_evidence(live)
    with transaction.atomic():
        SittingStyle.objects.filter(sitting=row).delete()  # it may have ended before, and been opened again
        if told:
            SittingStyle.objects.create(sitting=row, log_likelihoods=list(told.log_likelihoods))


def learned_of(user: User) -> LearnedStyle:
    """Return what all ended sittings of a user taught."""
    rows = SittingStyle.objects.filter(sitting__analyst=user, sitting__ended__isnull=False, sitting__blind_to=None)
    found = {str(pk): _evidence(kept) for pk, kept in rows.values_list("sitting_id", "log_likelihoods")}
    return learned_style({name: one for name, one in found.items() if one})


def _evidence(kept: Iterable[float]) -> StyleEvidence | None:
    """Return a row's evidence; None for one that a program with other styles wrote."""
    try:
        return StyleEvidence(tuple(kept))
    except (TenterError, TypeError):
        return None


def prior_for(user: User) -> dict[str, Any] | None:
    """Return what a new sitting of a user is to start from, as its row keeps it; None for the usual."""
    learned = learned_of(user) if is_used(user) else None
    return {"sittings": learned.sittings} | asdict(learned.styles) if learned and learned.sittings else None


def is_used(user: User) -> bool:
    """Whether a user's new sittings use how they answered before: so it is unless they have said otherwise."""
    return not AnswerLearning.objects.filter(user=user, used=False).exists()


def use(user: User, *, used: bool) -> None:
    """Let a user's new sittings use how they answered before, or not. Sittings that have begun stay as they are."""
    AnswerLearning.objects.update_or_create(user=user, defaults={"used": used})
