"""What the commands share: reading kit, method, ledger and face, and saying errors."""

import json
import sys
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from tenter.errors import Refused, TenterError

if TYPE_CHECKING:
    from tenter import Kit, Method, Sitting
    from tenter.report.own_words.studio_words import StudioWords

UNREADABLE, REFUSED = TenterError.exit_code, Refused.exit_code

KitOption = Annotated[Path | None, typer.Option("--kit", help="Cloths as drapes.csv; the demo kit when left out.")]
MethodOption = Annotated[str, typer.Option("--method", help="A bundled method's name, or a TOML file.")]
FaceOption = Annotated[Path | None, typer.Option("--face", help="The JSON of 'tenter face measure'.")]
JsonOption = Annotated[
    bool,
    typer.Option("--json", help="Print one JSON object on standard output, and everything else on standard error."),
]
SeedOption = Annotated[int, typer.Option("--seed", help="Decides on which side a cloth is proposed.")]
ClientOption = Annotated[str, typer.Option("--client", help="The client's name in the ledger.")]
LedgerArgument = Annotated[Path | None, typer.Argument(help="A judgements.csv; the demo ledger when left out.")]
WordsOption = Annotated[
    Path | None,
    typer.Option("--words", help="The studio's own words, as docs/reference/studio-words.md describes the file."),
]


@contextmanager
def errors_said() -> Iterator[None]:
    """Turn a `TenterError` into its message on standard error and `typer.Exit` with its exit code."""
    try:
        yield
    except TenterError as error:
        say(str(error))
        raise typer.Exit(error.exit_code) from None


def end_unless(accepted: bool) -> None:
    """Raise `typer.Exit` as refused, unless something was accepted; the command has said why before."""
    if not accepted:
        raise typer.Exit(REFUSED)


@contextmanager
def refused_as_json(client: str, as_json: bool) -> Iterator[None]:
    """Print what a client's sitting still owes a verdict as the command's JSON object, and let `PhaseMissing` go on."""
    from tenter import PhaseMissing

    try:
        yield
    except PhaseMissing as error:
        if as_json:
            print_json({"client": client, "refused": str(error), "owed": list(error.owed)})
        raise


def say(text: str) -> None:
    """Write a line to standard error, which leaves standard output to results."""
    sys.stderr.write(f"{text}\n")


def print_json(document: Mapping[str, object]) -> None:
    """Write one JSON object to standard output, in ASCII, which every stream can carry."""
    sys.stdout.write(json.dumps(document) + "\n")


def load_kit(path: Path | None) -> "Kit":
    """Return the kit of a file, or the demo kit; raises `UnreadableInput` for a file that is none."""
    from tenter import Kit

    return Kit.demo() if path is None else Kit.read(path)


def load_method(name: str) -> "Method":
    """Return a bundled method by name, or the method of a file; what is hardly meant in it is said apart.

    Raises `UnknownName` for a name that is none, and `UnreadableInput` for a file that is none.
    """
    from tenter import Method
    from tenter.consultation.conventions.bundled import BUNDLED

    if name in BUNDLED or not name.endswith(".toml"):
        return Method.bundled(name)
    method = Method.read(name)
    for warning in method.warnings:
        say(f"{name}: {warning}")
    return method


def read_own_words(path: Path | None, sitting: "Sitting") -> "StudioWords":
    """Return the studio's words of a file, or none without a file.

    Raises `UnreadableInput` for a file that is none, and `UnknownName` for a season that the method does not have.
    """
    from tenter.report.own_words.studio_words import NO_WORDS, require_known
    from tenter.report.own_words.words_file import read_words

    if path is None:
        return NO_WORDS
    words, season_of = read_words(path), sitting.method.season_of
    require_known(words, [*dict.fromkeys(season_of.values()), *season_of])
    return words


def replayed_ledger(
    ledger: Path | None, client: str, kit: Path | None, method: str, face: Path | None, seed: int
) -> "Sitting":
    """Return a sitting with one client's judgements of a ledger on record; the demo ledger when none is given.

    Raises `UnreadableInput` for a file that is none, and for a client without a judgement.
    """
    from tenter import Face, Sitting
    from tenter.consultation.record.ledger import demo_ledger, judgements_of_client, read_ledger

    cloths = load_kit(kit)
    rows = demo_ledger(cloths) if ledger is None else read_ledger(ledger, cloths)
    judgements = judgements_of_client(rows, client, str(ledger or "demo judgements"))
    measured = Face.read(face) if face else None
    return Sitting(cloths, load_method(method), seed=seed, face=measured).record_all(judgements)
