"""After a change of the passphrase: what the one before has sealed is sealed anew, file by file and row by row.

Until all of it is, both keys open. Each file is replaced whole and each row only if it is still what was read, so that
this may be cut off anywhere and begun again; what is done is found done. The key before goes at a start alone, when
nobody is writing.
"""

from collections.abc import Iterator

from tenter.errors import TenterError
from tenter.web.models import Measured
from tenter.web.models.kinds import kinds_with_files, measured_kinds
from tenter.web.pictures import pictures
from tenter.web.sealing import photo_keys, vault

_FIELDS = ("result", "corrections")


def reseal() -> int:
    """Seal anew what a key that leaves has sealed; return how many texts. What does not open stays as it is."""
    leaving = photo_keys.leaving()
    return sum(_files(leaving) + _texts(leaving)) if leaving else 0


def finish_resealing() -> int:
    """Seal anew what is left and let go of the keys that no text is sealed by any more. Nobody writes meanwhile."""
    try:
        photo_keys.sealing_key()
    except photo_keys.Locked:
        return 0  # another start, with the passphrase, goes on with it
    count = reseal()
    photo_keys.let_go(photo_keys.leaving() - {name.key_id for name in names()})
    return count


def names() -> Iterator[vault.Name]:
    """Yield by which key each file and each row's text is sealed."""
    for sealed in _everything():
        try:
            yield vault.key_of(sealed)
        except vault.Tampered:
            continue


def _everything() -> Iterator[bytes]:
    for kind in kinds_with_files():
        for name in kind._default_manager.values_list("name", flat=True):
            try:
                yield pictures.sealed_picture(name)
            except pictures.MissingPicture:
                continue
    for model, field in _columns():
        for text in model._default_manager.exclude(**{field: ""}).values_list(field, flat=True):
            try:
                yield bytes.fromhex(text)
            except ValueError:
                continue


def _columns() -> list[tuple[type[Measured], str]]:
    """Return the columns that hold sealed texts."""
    return [
        (m, field) for m in measured_kinds() for field in _FIELDS if field in {f.name for f in m._meta.concrete_fields}
    ]


def _files(leaving: set[bytes]) -> list[int]:
    names = [name for kind in kinds_with_files() for name in kind._default_manager.values_list("name", flat=True)]
    return [_file(name, leaving) for name in names]


def _file(name: str, leaving: set[bytes]) -> int:
    try:
        sealed = pictures.sealed_picture(name)
        if vault.key_of(sealed).key_id not in leaving:
            return 0
        pictures.put(name, vault.sealed_anew(sealed, pictures.picture_record(name)))
    except TenterError:
        return 0  # its page says why
    return 1


def _texts(leaving: set[bytes]) -> list[int]:
    return [
        _text(model, field, pk, name, leaving)
        for model, field in _columns()
        for pk, name in model._default_manager.exclude(**{field: ""}).values_list("pk", "name")
    ]


def _text(model: type[Measured], field: str, pk: int, name: str, leaving: set[bytes]) -> int:
    row = model._default_manager.filter(pk=pk)
    text = row.values_list(field, flat=True).first() or ""
    try:
        sealed = bytes.fromhex(text)
        if vault.key_of(sealed).key_id not in leaving:
            return 0
        anew = vault.sealed_anew(sealed, f"{name} {field}").hex()
    except (TenterError, ValueError):
        return 0
    return int(row.filter(**{field: text}).update(**{field: anew}))
