"""The sandbox laid out and thrown away, with every row and every file of it."""

from django.apps import apps
from django.contrib.auth import get_user_model
from django.contrib.auth.models import User
from django.db import transaction
from django.db.models import Model
from django.db.models.deletion import ProtectedError
from django.utils import translation

from tenter.language import SOURCE
from tenter.web.models import AuditEntry, Client, StudioName
from tenter.web.models.kinds import picture_kinds
from tenter.web.pictures import pictures
from tenter.web.rules.sandbox_user import SANDBOX_NAME, sandbox_users
from tenter.web.studio.demo import book_demo_day, load_demo_studio
from tenter.web.sweeping import kept_memory


@transaction.atomic
def laid_out() -> User:
    """Return the sandbox's user, with the demo studio and its day laid out, in the language of the page."""
    user, new = get_user_model().objects.get_or_create(username=SANDBOX_NAME)
    if new:
        user.set_unusable_password()
        user.save()
        load_demo_studio(user)
    book_demo_day(user)
    language = translation.get_language() or SOURCE
    StudioName.objects.update_or_create(owner=user, defaults={"language": language})
    return user


def throw_away() -> None:
    """Delete the sandbox's user and those who were let in there, with all that is theirs; nothing where there is none.

    No mark of it is kept: an invented client that comes back with a backup harms nobody. Raises `ProtectedError` where
    rows keep one another from going, and then all of them stay.
    """
    users = sandbox_users()
    if not users:
        return
    for kind in picture_kinds():
        for picture in kind._default_manager.filter(by__in=users):
            pictures.remove_picture(picture.name)
    with transaction.atomic():
        Client.objects.filter(owner__in=users).delete()  # first: sittings keep kits and methods from going
        AuditEntry.objects.filter(user__in=users).delete()
        _delete_rows_of(users)
        for user in users:
            user.delete()
    kept_memory.forget_everywhere()


def _delete_rows_of(users: list[User]) -> None:
    """Delete what refers to users, again and again, as one row may keep another from going.

    Raises `ProtectedError` where that leads nowhere.
    """
    waiting = _referring_to_users()
    while waiting:
        left = []
        for model, field in waiting:
            try:
                with transaction.atomic():
                    model._default_manager.filter(**{f"{field}__in": users}).delete()
            except ProtectedError:
                left.append((model, field))
        if len(left) == len(waiting):
            raise ProtectedError("rows of the sandbox keep one another from going", set())
        waiting = left


def _referring_to_users() -> list[tuple[type[Model], str]]:
    """Return each table that refers to users, by each field that does."""
    return [
        (model, field.name)
        for model in apps.get_app_config("tenter").get_models()
        for field in model._meta.concrete_fields
        if field.related_model is get_user_model()
    ]
