"""Who may see what. Every view gets its rows here; to anybody else a row does not exist (404).

A client is seen by the owner and, as long as the client agrees, by the associates that the owner has let in.
A kit is seen by its owner and by those
who work in the owner's studio. Of two readings of one client apart, neither analyst sees the other's before they
have seen the odds of their own or the two are compared: the second because it is blind, the first because it would be
none of theirs any more. Until then they may open their own again.
"""

from collections.abc import Callable
from functools import wraps
from typing import Any, TypeVar

from django.contrib.auth.models import User
from django.db.models import Q, QuerySet
from django.http import Http404, HttpResponse
from django.shortcuts import aget_object_or_404, get_object_or_404

from tenter.consultation.client.consent import Purpose
from tenter.web.models import (
    Access,
    Appointment,
    Associate,
    Client,
    ClothPhotograph,
    HandedPaper,
    KeptLight,
    KeptReading,
    KeptRoom,
    KitRecord,
    LearnedPhone,
    Measured,
    MethodRecord,
    Photograph,
    PhotoSeries,
    Sitting,
    SnippetRecord,
    StartedKit,
    StudioName,
    ThingPhotograph,
    WardrobePiece,
)
from tenter.web.rules import consents
from tenter.web.rules.logged_in import UserRequest

Row = TypeVar("Row", bound=Measured)
_OPEN = Q(ended__isnull=True, revealed_at__isnull=True)  # of a sitting
_OPEN_FIRST = Q(blind_to__ended__isnull=True, blind_to__revealed_at__isnull=True)
_APART = Q(revealed_at__isnull=True, compared_at__isnull=True)  # its analyst has not seen the other reading
_APART_FIRST = Q(blind_to__revealed_at__isnull=True, blind_to__compared_at__isnull=True)

# -- the studio --------------------------------------------------------------------------------------------------------


def owns_studio(user: User) -> bool:
    """Whether a user works on their own account, not in another's studio."""
    return not Associate.objects.filter(user=user).exists()


def studio_owner(user: User) -> User:
    """Return the owner of the studio that a user works in: themselves, unless they are an associate."""
    found = Associate.objects.filter(user=user).select_related("owner").first()
    return found.owner if found else user


def studio_name(owner: User) -> str:
    """Return what an owner calls their studio, or nothing."""
    return StudioName.objects.filter(owner=owner).values_list("name", flat=True).first() or ""


def for_owner(view: Callable[..., HttpResponse]) -> Callable[..., HttpResponse]:
    """Open a page to owners; to an associate it does not exist."""

    @wraps(view)
    def shown(request: UserRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        if not owns_studio(request.user):
            raise Http404
        return view(request, *args, **kwargs)

    return shown


def associates(owner: User) -> QuerySet[Associate]:
    """Return those who work in an owner's studio and may log in, by name."""
    found = Associate.objects.filter(owner=owner, user__is_active=True)
    return found.select_related("user").order_by("user__username")


def let_in(user: User, client: Client, *, made_card: bool = False) -> bool:
    """Let a user see a client, who agrees to associates or whose card they made; return whether they could not before.

    Raises `ConsentMissing` where the client does not agree.
    """
    if client.owner_id == user.pk:
        return False
    if not made_card:
        consents.require(client, Purpose.ASSOCIATES)
    return bool(Access.objects.get_or_create(client=client, user=user, defaults={"made_card": made_card})[1])


# -- clients and kits --------------------------------------------------------------------------------------------------


def clients(user: User) -> QuerySet[Client]:
    """Return the clients that a user may see."""
    return Client.objects.filter(Q(owner=user) | Q(pk__in=_let_in(user)))


def _let_in(user: User) -> list[int]:
    """Return the numbers of the clients that an associate was let see, and who agree to it or whose card they made.

    They are numbers and no query: within the others, SQLite would find it too deep.
    """
    given = dict(Access.objects.filter(user=user).values_list("client", "made_card"))
    asked = [pk for pk, made_card in given.items() if not made_card]
    return [pk for pk in given if given[pk]] + consents.agreeing(asked, Purpose.ASSOCIATES)


def client(user: User, pk: int) -> Client:
    """Return a client that a user may see, or answer 404."""
    return get_object_or_404(clients(user), pk=pk)


def owned_client(user: User, pk: int) -> Client:
    """Return a client of a user's own, or answer 404."""
    return get_object_or_404(Client, pk=pk, owner=user)


def reads_blind(user: User, client: Client) -> bool:
    """Whether a user reads a client without knowing what was read before: nor may they read the notes then."""
    return bool(_blind_readings(user).filter(client=client).exists())


def card_to_edit(user: User, pk: int) -> Client:
    """Return a client whose card a user may change; raises `Http404` for any other."""
    found = client(user, pk)
    if reads_blind(user, found):
        raise Http404
    return found


def kits(user: User) -> QuerySet[KitRecord]:
    """Return the kits of the studio that a user works in, the latest first, without those made of their readings."""
    return KitRecord.objects.filter(owner=studio_owner(user), origin=None)


def kit(user: User, pk: int) -> KitRecord:
    """Return a kit of a user's studio, also one made of readings, or answer 404."""
    return get_object_or_404(KitRecord, pk=pk, owner=studio_owner(user))


def started_kits(user: User) -> QuerySet[StartedKit]:
    """Return the kits that are being put together in the studio that a user works in, the latest first."""
    return StartedKit.objects.filter(owner=studio_owner(user))


def started_kit(user: User, pk: int) -> StartedKit:
    """Return a kit that is being put together in a user's studio, or answer 404."""
    return get_object_or_404(started_kits(user), pk=pk)


def reading(user: User, pk: int) -> KeptReading:
    """Return a reading of a kit of a user's studio, or answer 404."""
    return get_object_or_404(KeptReading, pk=pk, kit__owner=studio_owner(user))


def lights(user: User) -> QuerySet[KeptLight]:
    """Return the checks of the light in the studio that a user works in, the latest first."""
    return KeptLight.objects.filter(owner=studio_owner(user)).select_related("by")


def light(user: User, pk: int) -> KeptLight:
    """Return a check of the light in a user's studio, or answer 404."""
    return get_object_or_404(lights(user), pk=pk)


def rooms(user: User) -> QuerySet[KeptRoom]:
    """Return the rooms that were measured in the studio that a user works in, the latest first."""
    return KeptRoom.objects.filter(owner=studio_owner(user))


def appointments(user: User) -> QuerySet[Appointment]:
    """Return the appointments of the clients that a user may see, by the clock."""
    return Appointment.objects.filter(client__in=clients(user)).select_related("client")


def appointment(user: User, pk: int) -> Appointment:
    """Return an appointment of a client that a user may see, or answer 404."""
    return get_object_or_404(appointments(user), pk=pk)


def methods(user: User) -> QuerySet[MethodRecord]:
    """Return the methods of their own that the owner of a user's studio has brought, the latest first."""
    return MethodRecord.objects.filter(owner=studio_owner(user))


def method(user: User, pk: int) -> MethodRecord:
    """Return a method of a user's studio, or answer 404."""
    return get_object_or_404(methods(user), pk=pk)


# -- sittings ----------------------------------------------------------------------------------------------------------


def sittings(user: User) -> QuerySet[Sitting]:
    """Return the sittings of the clients that a user may see, without those hidden from them, the latest first."""
    others = Sitting.objects.filter(client__in=_blind_readings(user).values("client")).exclude(analyst=user)
    seen = Sitting.objects.filter(client__in=clients(user)).exclude(pk__in=others.values("pk"))
    return seen.exclude(pk__in=_read_beside(user).values("pk")).select_related("client", "analyst", "kit")


def _blind_readings(user: User) -> QuerySet[Sitting]:
    """Return the sittings in which a user reads what others have read before, as long as they have not seen that."""
    return Sitting.objects.filter(_APART, analyst=user, blind_to__isnull=False)


def _read_beside(user: User) -> QuerySet[Sitting]:
    """Return others' second readings of clients whose first reading by a user is still apart."""
    return Sitting.objects.filter(_APART_FIRST, blind_to__analyst=user).exclude(analyst=user)


def double_readings(user: User) -> QuerySet[Sitting]:
    """Return the second readings that a user may see beside the first, both closed for good, the latest first."""
    seen = sittings(user)
    both = _both_ended().filter(blind_to__in=seen).exclude(_APART | _APART_FIRST)
    return both.filter(pk__in=seen.values("pk")).select_related("client", "blind_to__analyst")


def _both_ended() -> QuerySet[Sitting]:
    return Sitting.objects.filter(blind_to__isnull=False).exclude(_OPEN).exclude(_OPEN_FIRST)


def to_compare(user: User) -> QuerySet[Sitting]:
    """Return the second readings that have ended, as the first has, and wait for a user to have them compared."""
    own = Q(analyst=user) | Q(blind_to__analyst=user) | Q(client__owner=user)
    return _both_ended().filter(_APART | _APART_FIRST).filter(own, client__in=clients(user)).select_related("client")


def sitting(user: User, pk: int) -> Sitting:
    """Return a sitting that a user may see, or answer 404."""
    return get_object_or_404(sittings(user), pk=pk)


def own_sitting(user: User, pk: int) -> Sitting:
    """Return a sitting that a user is the analyst of and may therefore write in, or answer 404."""
    return get_object_or_404(sittings(user), pk=pk, analyst=user)


def sitting_by_token(token: str) -> Sitting:
    """Return the sitting whose client's screen has this address, for whoever knows it, or answer 404."""
    return get_object_or_404(Sitting.objects.select_related("client", "kit", "analyst"), token=token)


async def asitting_by_token(token: str) -> Sitting:
    """Return the same to a page that waits for nobody."""
    return await aget_object_or_404(Sitting, token=token)


# -- photographs -------------------------------------------------------------------------------------------------------


def photographs(user: User) -> QuerySet[Photograph]:
    """Return the photographs of the clients that a user may see, without those of sittings hidden from them."""
    seen = Q(sitting__isnull=True) | Q(sitting__in=sittings(user).values("pk"))
    return Photograph.objects.filter(seen, client__in=clients(user)).select_related("client", "sitting", "by")


def photograph(user: User, pk: int) -> Photograph:
    """Return a photograph that a user may see, or answer 404."""
    return get_object_or_404(photographs(user), pk=pk)


def may_erase(user: User, row: Measured) -> bool:
    """Whether a user may erase what was measured: whoever made it, and whose own it is."""
    return user.pk in (row.by_id, row.owner_pk)


def to_erase(user: User, row: Row) -> Row:
    """Return a row that a user may see if they may erase it too; else raises `Http404`."""
    if not may_erase(user, row):
        raise Http404
    return row


def series(user: User) -> QuerySet[PhotoSeries]:
    """Return the series of the clients that a user may see, without those with a photograph hidden from them."""
    hidden = Photograph.objects.exclude(pk__in=photographs(user).values("pk")).values("pk")
    return PhotoSeries.objects.filter(client__in=clients(user)).exclude(frames__photograph__in=hidden)


def client_series(user: User, client: Client) -> QuerySet[PhotoSeries]:
    """Return a client's series that a user may see; none where the client does not agree to photographs compared."""
    return series(user).filter(client=client) if consents.may(client, Purpose.COMPARE) else PhotoSeries.objects.none()


def one_series(user: User, pk: int) -> PhotoSeries:
    """Return a series that a user may see; raises `Http404` for any other, and without consent to compare."""
    found = get_object_or_404(series(user).select_related("client", "by"), pk=pk)
    if not consents.may(found.client, Purpose.COMPARE):
        raise Http404
    return found


def cloth_photographs(user: User) -> QuerySet[ClothPhotograph]:
    """Return the photographs of cloths of the studio that a user works in, the latest first."""
    return ClothPhotograph.objects.filter(owner=studio_owner(user)).select_related("by", "kit")


def cloth_photograph(user: User, pk: int) -> ClothPhotograph:
    """Return a photograph of cloths of a user's studio, or answer 404."""
    return get_object_or_404(cloth_photographs(user), pk=pk)


def things(user: User) -> QuerySet[ThingPhotograph]:
    """Return the photographs of clients' things that a user may see, with those of the sittings they belong to."""
    return ThingPhotograph.objects.filter(sitting__in=sittings(user).values("pk")).select_related(
        "sitting__client", "by"
    )


def thing(user: User, pk: int) -> ThingPhotograph:
    """Return a photograph of a client's thing that a user may see, or answer 404."""
    return get_object_or_404(things(user), pk=pk)


def piece(user: User, pk: int) -> WardrobePiece:
    """Return a piece of the wardrobe of a client whose card a user may change, or answer 404."""
    found = get_object_or_404(WardrobePiece.objects.select_related("client"), pk=pk)
    card_to_edit(user, found.client_id)
    return found


def handed_paper(user: User, pk: int) -> HandedPaper:
    """Return a paper that was handed over in a sitting that a user may see, or answer 404."""
    return get_object_or_404(HandedPaper.objects.select_related("sitting"), pk=pk, sitting__in=sittings(user))


def phones(user: User) -> QuerySet[LearnedPhone]:
    """Return the phones of the studio that a user works in, learned or about to be, the latest first."""
    return LearnedPhone.objects.filter(owner=studio_owner(user)).select_related("by")


def phone(user: User, pk: int) -> LearnedPhone:
    """Return a phone of a user's studio, or answer 404."""
    return get_object_or_404(phones(user), pk=pk)


def snippet(user: User, pk: int) -> SnippetRecord:
    """Return a snippet of a user's studio that stands in a drawer, or answer 404."""
    return get_object_or_404(SnippetRecord, pk=pk, owner=studio_owner(user), cleared=None)
