"""Typed reading of TOML tables, with errors that name the field."""

from collections.abc import Callable, Mapping
from enum import StrEnum
from typing import TypeVar

from tenter.errors import TenterError, UnknownName, what_would_do
from tenter.language import _, as_typed, as_written

T = TypeVar("T")
E = TypeVar("E", bound=StrEnum)


class Fields:
    """One TOML table whose fields are read by name and checked by type."""

    def __init__(self, values: Mapping[str, object], path: str) -> None:
        self._values, self.path = values, path
        self._read: set[str] = set()

    def __contains__(self, name: object) -> bool:
        return name in self._values

    def get(self, name: str, parse: Callable[[object], T]) -> T:
        """Return a field; raises `TenterError` naming it when it is missing or of the wrong kind."""
        self._read.add(name)
        if name not in self._values:
            raise TenterError(_("{path}: the field {name} is missing", path=self.path, name=as_typed(name)))
        try:
            return parse(self._values[name])
        except TenterError as error:
            raise TenterError(
                _("{path}: field {name}: {error}", path=self.path, name=as_typed(name), error=error)
            ) from None

    def table(self, name: str) -> "Fields":
        """Return a sub-table; raises `TenterError` naming it when it is missing or no table."""
        return Fields(self.get(name, _table), f"{self.path} [{name}]")

    def tables(self, name: str) -> list["Fields"]:
        """Return an array of tables; raises `TenterError` naming it when it is missing or something else."""
        return [
            Fields(t, _("{path} [[{name}]] number {number}", path=self.path, name=name, number=i))
            for i, t in enumerate(self.get(name, items(_table)), start=1)
        ]

    def expect(self, *names: str) -> None:
        """Raise `TenterError` for a field that is not one of the names."""
        unknown = sorted(set(self._values) - set(names))
        if unknown:
            raise TenterError(
                _(
                    "{path}: unknown field {name}; {advice}",
                    path=self.path,
                    name=as_typed(unknown[0]),
                    advice=what_would_do(unknown[0], names),
                )
            )

    def require_all_read(self) -> None:
        """Raise `TenterError` for a field that nothing has read: a misspelt name must not pass in silence."""
        self.expect(*sorted(self._read))


def _table(value: object) -> Mapping[str, object]:
    if not isinstance(value, Mapping):
        raise TenterError(_("a table is needed, got {value}", value=as_typed(value)))
    return value


def text(value: object) -> str:
    """Return a string that is not blank; raises `TenterError` for anything else."""
    if not isinstance(value, str) or not value.strip():
        raise TenterError(_("a text is needed, got {value}", value=as_typed(value)))
    return value


def finite_number(value: object) -> float:
    """Return a finite number within ±1e9, in whatever units its field has; raises `TenterError` for anything else."""
    if isinstance(value, bool) or not isinstance(value, int | float) or not -1e9 < value < 1e9:
        raise TenterError(_("a number is needed, got {value}", value=as_typed(value)))
    return float(value)


def within(least: float, most: float) -> Callable[[object], float]:
    """Return a reader of numbers within `least` and `most`, in the number's own units, ends included.

    It raises `TenterError` for any other.
    """

    def read(value: object) -> float:
        found = finite_number(value)
        if not least <= found <= most:
            raise TenterError(
                _(
                    "a number from {least} to {most} is needed, got {found}",
                    least=as_written(f"{least:g}"),
                    most=as_written(f"{most:g}"),
                    found=as_written(f"{found:g}"),
                )
            )
        return found

    return read


def whole(value: object) -> int:
    """Return a whole number; raises `TenterError` for anything else."""
    if isinstance(value, bool) or not isinstance(value, int):
        raise TenterError(_("a whole number is needed, got {value}", value=as_typed(value)))
    return value


def truth(value: object) -> bool:
    """Return true or false; raises `TenterError` for anything else."""
    if not isinstance(value, bool):
        raise TenterError(_("true or false is needed, got {value}", value=as_typed(value)))
    return value


def items(parse: Callable[[object], T], length: int | None = None) -> Callable[[object], list[T]]:
    """Return a reader of lists, of a given length if one is given, which raises `TenterError` for anything else."""

    def read(value: object) -> list[T]:
        if not isinstance(value, list) or (length is not None and len(value) != length):
            raise TenterError(
                _("a list of {length} is needed, got {value}", length=length, value=as_typed(value))
                if length
                else _("a list is needed, got {value}", value=as_typed(value))
            )
        return [parse(v) for v in value]

    return read


def choice(kind: type[E]) -> Callable[[object], E]:
    """Return a reader of one word of a closed vocabulary, which raises `UnknownName` for any other."""

    def read(value: object) -> E:
        try:
            return kind(str(value))
        except ValueError:
            raise UnknownName(_("word"), value, kind) from None

    return read
