"""Where commands write: into a folder that is there, and over a file that is there only where that is said."""

from collections.abc import Sequence
from pathlib import Path
from typing import Annotated

import typer

from tenter.errors import TenterError

_REPLACE = "--replace"
ReplaceOption = Annotated[bool, typer.Option(_REPLACE, help="Overwrite existing files.")]


def require_place(path: Path, replace: bool) -> None:
    """Raise `TenterError` where a file cannot be written, or is there already and is not to be replaced.

    Commands ask before they read and compute, so that nobody waits for a refusal.
    """
    if not path.parent.is_dir():
        raise TenterError(
            f"{path} cannot be written: {path.parent} is not a folder. Make the folder, or name another file"
        )
    if path.is_dir():
        raise TenterError(f"{path} is a folder. Name a file in it")
    require_free([path], replace)


def require_free(paths: Sequence[Path], replace: bool) -> None:
    """Raise `TenterError` where one of the files is there already, unless they are to be replaced."""
    there = [path for path in paths if path.is_file()]
    if there and not replace:
        more = f", and {len(there) - 1} more of these files" if len(there) > 1 else ""
        raise TenterError(
            f"{there[0]} is there already{more}. Nothing was written. Name another file, or overwrite what is there "
            f"with {_REPLACE}"
        )


def make_folder(folder: Path, option: str) -> None:
    """Make a folder, or leave it as it is; raises `TenterError` where there cannot be one."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as problem:
        raise TenterError(
            f"{folder} cannot be made a folder ({problem.strerror}); give another place with {option}"
        ) from None
