"""What the studio's incoming folder offers to a client, and what becomes of a picture there once it is sealed here."""

from dataclasses import dataclass
from pathlib import Path

from django.contrib.auth.models import User

from tenter.errors import TenterError
from tenter.report.words.wording import sentence
from tenter.web.incoming import folder_contents
from tenter.web.incoming.folder_contents import IncomingPicture
from tenter.web.models import IncomingFolder, Sitting
from tenter.web.pictures.pictures import LARGEST_UPLOAD
from tenter.web.rules import access


@dataclass(frozen=True, slots=True)
class IncomingOffer:
    """What is to be taken in. problem: why the folder itself cannot be looked into; empty where it can.

    likely: keys of the pictures that came since the sitting began, so that they are probably of its client.
    """

    ready: tuple[IncomingPicture, ...] = ()
    refused: tuple[IncomingPicture, ...] = ()
    likely: frozenset[str] = frozenset()
    left_out: int = 0
    problem: str = ""

    @property
    def version(self) -> str:
        """What changes whenever there is something else to show."""
        said = [self.problem, *(one.key for one in self.ready), *(one.key + one.problem for one in self.refused)]
        return "-".join(said)


def incoming_offer(user: User, sitting: Sitting | None) -> IncomingOffer | None:
    """Return what the incoming folder of a user's studio offers; None where no folder is named."""
    row = incoming_folder_of(user)
    if row is None:
        return None
    try:
        found = folder_contents.look_into(Path(row.path), LARGEST_UPLOAD)
    except TenterError as error:
        return IncomingOffer(problem=f"{sentence(str(error))}.")
    taken = set(row.taken)
    ready = tuple(one for one in found.ready if one.key not in taken)
    refused = tuple(one for one in found.pictures if one.problem)
    likely = frozenset(one.key for one in ready if sitting is not None and one.changed >= sitting.started)
    return IncomingOffer(ready, refused, likely, found.left_out)


def incoming_folder_of(user: User) -> IncomingFolder | None:
    """Return the incoming folder of a user's studio; None where none is named."""
    return IncomingFolder.objects.filter(owner=access.studio_owner(user)).first()


def leave_behind(folder: IncomingFolder, key: str) -> None:
    """Remove a picture that is sealed here from the folder, or remember that it is not to be offered again.

    Raises `TenterError` where it stays in the folder although it is to leave it, or the folder has gone.
    """
    if folder.removes:
        folder_contents.remove_picture_file(Path(folder.path), key)
        return
    there = {one.key for one in folder_contents.look_into(Path(folder.path), LARGEST_UPLOAD).pictures}
    folder.taken = sorted((set(folder.taken) & there) | {key})
    folder.save(update_fields=("taken",))
