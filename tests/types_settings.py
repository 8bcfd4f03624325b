"""The web app's settings as mypy reads them: it asks Django for the models, and must not touch a studio's folder."""

import os
from pathlib import Path

os.environ["TENTER_DATA_DIR"] = str(Path(__file__).parents[1] / "build" / "types")

from tenter.web.settings import *  # noqa: F403 - the folder must be named first
