"""An icon for the menu of a Linux desktop, which starts Tenter and opens it in the browser.

Source: freedesktop.org, Desktop Entry Specification 1.5, and Icon Theme Specification 0.13.
"""

import os
import re
import sys
from importlib.resources import files
from pathlib import Path

from tenter import durable
from tenter.errors import TenterError

_READABLE = 0o644  # the mode of a file that its owner writes and the desktop reads
_ENTRY = """[Desktop Entry]
Type=Application
Version=1.0
Name=Tenter
Comment=Open the studio in the browser
Exec={command}
Icon={icon}
Terminal=false
Categories=Office;
StartupNotify=false
"""


def install_icon() -> Path:
    """Put Tenter into the desktop's menu and return the file of its entry; raises `TenterError` on another system."""
    if not sys.platform.startswith("linux"):
        raise TenterError(f"Icons are made on Linux only. Make a shortcut to this command: {' '.join(_command())}")
    shared = Path(os.environ.get("XDG_DATA_HOME") or Path.home() / ".local" / "share")
    icon = shared / "icons" / "hicolor" / "scalable" / "apps" / "tenter.svg"
    entry = shared / "applications" / "tenter.desktop"
    mark = (files("tenter.web") / "static" / "tenter" / "mark.svg").read_bytes()
    command = " ".join(map(quoted_argument, _command()))
    try:
        for path, content in ((icon, mark), (entry, _ENTRY.format(command=command, icon=icon).encode())):
            path.parent.mkdir(parents=True, exist_ok=True)
            durable.write(path, content, _READABLE)
    except OSError as error:
        raise TenterError(f"{error.filename} cannot be written ({error.strerror}). No icon was made") from None
    return entry


def _command() -> list[str]:
    """Return the command of the icon, with the folder of the data where it is named."""
    named = os.environ.get("TENTER_DATA_DIR")
    folder = ["env", f"TENTER_DATA_DIR={Path(named).expanduser().resolve()}"] if named else []
    return [*folder, str(Path(sys.executable).with_name("tenter-web")), "--open"]


def quoted_argument(text: str) -> str:
    """Return an argument as an entry's `Exec` has it: as_typed, escaped once for it and once for the file."""
    inner = re.sub(r'(["`$\\])', r"\\\1", text).replace("%", "%%")
    return '"' + inner.replace("\\", "\\\\") + '"'
