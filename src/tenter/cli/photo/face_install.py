"""`tenter face install`: the face model for whoever installed Tenter by pip, pipx or uv."""

import importlib
import shutil
import subprocess
import sys
from importlib.resources import as_file, files
from importlib.util import find_spec

from tenter.cli.shared.inputs import errors_said, say
from tenter.errors import TenterError

_NEEDS, _MODEL = "face_model_needs.txt", "face_model.txt"
_EXACTLY = ("--no-deps", "--require-hashes")  # the model as it was published, and nothing that it asks for


def install() -> None:
    """Install the face model, once: mediapipe 0.10.21 from the package index, checked against its known hash.

    A plain install leaves it out because its metadata forbids numpy 2, on which it runs. Exit code 0: it is there. 2:
    it cannot be installed, and why.
    """
    with errors_said():
        if _is_there():
            say("Face measuring is installed already.")
            return
        install = _installer()
        for options, name in (((), _NEEDS), (_EXACTLY, _MODEL)):
            with as_file(files("tenter.photo") / "data" / name) as listed:
                _run([*install, *options, "-r", str(listed)])
        if not _is_there():
            raise TenterError("the face model was installed, and cannot be loaded. Try: python -c 'import mediapipe'")
    say("Face measuring is installed. Try it: tenter face measure PHOTO")


def _is_there() -> bool:
    importlib.invalidate_caches()
    return find_spec("mediapipe") is not None


def _installer() -> list[str]:
    """Return the command that installs into this environment, up to what is to be installed."""
    if find_spec("pip") is not None:
        return [sys.executable, "-m", "pip", "install", "--quiet"]
    if uv := shutil.which("uv"):
        return [uv, "pip", "install", "--quiet", "--python", sys.executable]
    raise TenterError(
        "neither pip nor uv was found, and one of them has to install the face model. Put uv on the PATH, or install "
        f"pip: {sys.executable} -m ensurepip"
    )


def _run(command: list[str]) -> None:
    if subprocess.run(command, check=False, stdout=sys.stderr).returncode:
        raise TenterError(
            "the face model cannot be installed, as said above. It needs the package index and Python 3.11 or 3.12. "
            "Everything but photographs of faces works without it"
        )
