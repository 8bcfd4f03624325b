"""What each client agrees to today, as rows that are only added to: of a purpose the latest one counts.

`may` is the one place that is asked before anything is taken in, shown, laid side by side or printed. What goes on in a
client's name stops by `refuse_if_ended`; a view lets that pass, and `consent_refused.py` answers for it.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from django.contrib.auth.models import User
from django.db import transaction
from django.db.models import QuerySet
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from tenter.consultation.client.consent import (
    USUAL_DAYS,
    WORDING_VERSION,
    AskedPurpose,
    Purpose,
    asked,
    asked_for,
    asked_in,
    may_be_given,
)
from tenter.errors import TenterError, what_would_do
from tenter.language import as_typed, language
from tenter.web.models import Client, Consent, Photograph
from tenter.web.rules.client_language import in_clients_language
from tenter.web.rules.consents_of_forms import GUARDIAN_UNNAMED


class ConsentMissing(TenterError):
    """The client does not agree to a purpose. `purpose` says to which, `client_pk` whose card it is asked on."""

    def __init__(self, client: Client, purpose: Purpose, why: str) -> None:
        title = asked_for(purpose).title
        said = _("no consent to “%(purpose)s”: %(why)s. Ask the client and record the answer on their card")
        super().__init__(said % {"purpose": title, "why": why})
        self.purpose, self.client_pk = purpose, client.pk


@dataclass(frozen=True, slots=True)
class ConsentStanding:
    """How things stand with one purpose. answer: the latest row, None where it was never asked."""

    asked: AskedPurpose
    answer: Consent | None
    holds: bool
    why: str  # it does not hold; empty where it does


# -- asking ------------------------------------------------------------------------------------------------------------


def may(client: Client, purpose: Purpose) -> bool:
    """Whether a client agrees to a purpose today."""
    return _why_not(client, purpose, _latest(client).get(purpose)) == ""


def lacking(client: Client, *purposes: Purpose) -> ConsentMissing | None:
    """Return the first of the purposes that a client does not agree to today, with the reason; None for none."""
    latest = _latest(client)
    said = ((purpose, _why_not(client, purpose, latest.get(purpose))) for purpose in purposes)
    return next((ConsentMissing(client, purpose, why) for purpose, why in said if why), None)


def require(client: Client, *purposes: Purpose) -> None:
    """Raise `ConsentMissing` for the first of the purposes that a client does not agree to today."""
    missing = lacking(client, *purposes)
    if missing:
        raise missing


def ended(client: Client, purpose: Purpose = Purpose.ANALYSIS) -> ConsentMissing | None:
    """Return why a consent that was given once holds no more: taken back, past its day, or without a guardian.

    None where it holds, and where it was never asked: sittings from before there were consents can go on.
    """
    answer = _latest(client).get(purpose)
    why = _why_not(client, purpose, answer) if answer else ""
    return ConsentMissing(client, purpose, why) if why else None


def guardian_today(client: Client) -> str:
    """Return who agreed to the analysis of a minor today, and was present as they did, by name; empty for nobody."""
    answer = _latest(client).get(Purpose.ANALYSIS)
    today = bool(answer and answer.given and timezone.localdate(answer.at) == timezone.localdate())
    return answer.guardian if answer and today else ""


def refuse_if_ended(client: Client, purpose: Purpose = Purpose.ANALYSIS) -> None:
    """Raise `ConsentMissing` where a consent that was given once holds no more: what goes on stops."""
    missing = ended(client, purpose)
    if missing:
        raise missing


def may_use(shot: Photograph, purpose: Purpose) -> bool:
    """Whether a photograph may be used for a purpose today: the card allows it, and what was agreed for it alone."""
    return narrowed(shot, purpose) and may(shot.client, purpose)


def narrowed(shot: Photograph, purpose: Purpose) -> bool:
    """Whether what was agreed for a photograph alone, before consents were on the card, leaves a purpose open."""
    return not shot.purposes or purpose in shot.purposes


def agreeing(clients: Sequence[int], purpose: Purpose) -> list[int]:
    """Return those of some clients, by number, who agree to a purpose today."""
    if not clients:
        return []
    rows = Consent.objects.filter(client__in=clients, purpose=purpose).select_related("client").order_by("pk")
    latest = {row.client_id: row for row in rows}
    return [pk for pk, row in latest.items() if not _why_not(row.client, purpose, row)]


def standing(client: Client) -> list[ConsentStanding]:
    """Return how things stand with each purpose that a client is asked for, in the order in which it is asked."""
    latest = _latest(client)
    return [
        ConsentStanding(one, answer, not why, why)
        for one in asked(client.minor)
        for answer in [latest.get(one.purpose)]
        for why in [_why_not(client, one.purpose, answer)]
    ]


def shown_to(client: Client) -> dict[Purpose, AskedPurpose]:
    """Return what a client is asked, in the language in which they read."""
    with in_clients_language(client):
        return {one.purpose: one for one in asked(client.minor)}


def words_asked(client: Client) -> str:
    """Return which words a client is asked just now, as `asked_in` names them."""
    with in_clients_language(client):
        return asked_in()


def history(client: Client) -> Sequence[Consent]:
    """Return every answer of a client, the first one first."""
    return list(client.consents.select_related("by").order_by("pk"))


def guardian_of(client: Client) -> str:
    """Return the parent or guardian who last agreed for a client by name, or ""."""
    named = client.consents.exclude(guardian__in=("", GUARDIAN_UNNAMED)).order_by("pk").last()
    return named.guardian if named else ""


def past(rows: QuerySet[Consent]) -> list[tuple[Consent, date]]:
    """Return the answers among rows that count no more, with the day on which each ended, unless its words are erased.

    An answer ends when a later one about the same purpose takes its place, or on its own day; taking back ends at once.
    """
    today, later = timezone.localdate(), dict[tuple[int, str], date]()
    found = []
    for row in rows.order_by("-pk"):
        on = timezone.localdate(row.at)
        ends = [day for day in (later.get((row.client_id, row.purpose)), row.until, None if row.given else on) if day]
        later[row.client_id, row.purpose] = on
        if row.wording and ends and min(ends) <= today:
            found.append((row, min(ends)))
    return found


def usual_end() -> date:
    """Return the day on which a consent ends, unless another is agreed."""
    return timezone.localdate() + timedelta(days=USUAL_DAYS)


def last_day(client: Client) -> date | None:
    """Return the day by which every photograph of a client is deleted, as the consent to keep them says; None for none.

    It is today once the consent was taken back. A client who was never asked has no such day: each photograph has one.
    """
    answer = _latest(client).get(Purpose.MEASURE)
    if answer is None:
        return None
    return answer.until if answer.given else timezone.localdate()


def _latest(client: Client) -> dict[str, Consent]:
    return {row.purpose: row for row in Consent.objects.filter(client=client).order_by("pk")}


def _why_not(client: Client, purpose: Purpose, answer: Consent | None) -> str:
    """Return why a purpose is not agreed to, in words; nothing where it is."""
    if not may_be_given(purpose, client.minor):
        return _("nothing of a minor is published")
    if answer is None:
        return _("not asked yet")
    if not answer.given:
        return _("taken back on %(day)s") % {"day": date_format(timezone.localdate(answer.at), "DATE_FORMAT")}
    if answer.until is not None and answer.until <= timezone.localdate():
        return _("ended on %(day)s") % {"day": date_format(answer.until, "DATE_FORMAT")}
    return _("no parent or guardian agreed by name") if client.minor and not answer.guardian else ""


# -- writing -----------------------------------------------------------------------------------------------------------


@transaction.atomic
def give_consent(
    client: Client, purposes: Iterable[Purpose], until: date | None, by: User, guardian: str = ""
) -> list[Consent]:
    """Write down what a client agrees to, in the words and the language in which they are asked today.

    until: the day on which it ends; None for when it is taken back. guardian: who agrees for a minor, by name.

    Raises `TenterError` where a minor's answer names no guardian or no end, or is one that no minor can give.
    """
    wanted = list(dict.fromkeys(purposes))
    if client.minor and not guardian:
        raise TenterError(_("a parent or guardian has to agree for a minor; write down their name"))
    if client.minor and until is None:
        raise TenterError(_("a consent for a minor needs an end; enter the day"))
    if not all(may_be_given(purpose, client.minor) for purpose in wanted):
        raise TenterError(_("nothing of a minor is published; leave publication out"))
    Consent.objects.filter(client=client, purpose__in=wanted, wording="").delete()  # it only said that it had ended
    said = {"client": client, "given": True, "until": until, "version": WORDING_VERSION, "guardian": guardian, "by": by}
    with in_clients_language(client):
        said["language"] = language().code
        rows = [Consent(purpose=one, wording=asked_for(one).wording, **said) for one in wanted]
    return Consent.objects.bulk_create(rows)


def take_back_consent(client: Client, purpose: Purpose, by: User) -> Consent | None:
    """Write down that a client takes a consent back; None where there is none to take back."""
    answer = _latest(client).get(purpose)
    if answer is None or not answer.given:
        return None
    said = {name: getattr(answer, name) for name in ("wording", "version", "language", "guardian")}
    return Consent.objects.create(client=client, purpose=purpose, given=False, by=by, **said)


def erase_past(client: Client, ended_on: date) -> None:
    """Erase the answers of a client that ended on a day, with the words and the guardian's name.

    Of the latest answer about a purpose it stays that it was taken back or has ended, because that stops the program.
    """
    latest = {row.pk for row in _latest(client).values()}
    for row, day in past(Consent.objects.filter(client=client)):
        if day == ended_on and row.pk not in latest:
            row.delete()
        elif day == ended_on:
            Consent.objects.filter(pk=row.pk).update(wording="", guardian="")


def check_consent_rows(rows: Sequence[Consent]) -> None:
    """Raise `TenterError` for a row that speaks of no purpose of ours."""
    known = {str(purpose) for purpose in Purpose}
    for row in rows:
        if row.purpose not in known:
            said = {"purpose": as_typed(row.purpose), "advice": what_would_do(row.purpose, sorted(known))}
            raise TenterError(_("it names the purpose %(purpose)s; %(advice)s") % said)
