"""What clients agreed to before consents were on their card: photograph by photograph, on the form that took it in.

Such an answer becomes a consent of that day in the words of that form. What a photograph was not agreed for, it is
still not used for: its own `purposes` narrow what the card allows.
"""

from typing import Any

from tenter.consultation.client.consent import OF_FORMS, Purpose

_WORDINGS = {
    Purpose.MEASURE: "The client agrees to a photograph, and to its colours being measured",
    Purpose.COMPARE: "It may be laid beside their other photographs",
    Purpose.SHEET: "Its colours may be printed on their reading sheet",
    Purpose.PRINTED: "The picture itself may be printed on their papers",
}
GUARDIAN_UNNAMED = "a parent or guardian, whose name was not asked"


def take_over(photograph: Any, consent: Any, access: Any, sitting: Any) -> None:
    """Make consents of what the forms of photographs were told, and leave associates their own clients.

    The four are the models of these rows, as the app has them or as a migration does. The consent to keep photographs
    ends with the last of those that it was given for; an associate who held a client's sitting goes on seeing them.
    """
    first: dict[tuple[int, str], Any] = {}
    for shot in photograph.objects.order_by("taken_at", "pk"):
        for purpose in (str(word) for word in _WORDINGS if word in shot.purposes):
            row = first.setdefault((shot.client_id, purpose), _of(shot, purpose, consent))
            if purpose == Purpose.MEASURE:
                row.until = max(row.until or shot.deletes_on, shot.deletes_on)
            row.guardian = row.guardian or (GUARDIAN_UNNAMED if shot.guardian else "")
    consent.objects.bulk_create(first.values())
    for row in access.objects.filter(made_card=False):
        if sitting.objects.filter(client_id=row.client_id, analyst_id=row.user_id).exists():
            access.objects.filter(pk=row.pk).update(made_card=True)


def _of(shot: Any, purpose: str, consent: Any) -> Any:
    said = {"client_id": shot.client_id, "purpose": purpose, "at": shot.taken_at, "by_id": shot.by_id}
    return consent(**said, given=True, wording=_WORDINGS[Purpose(purpose)], version=OF_FORMS)
