"""The web app's own settings, on a data folder that goes away with the test run."""

import os
import tempfile

_folder = tempfile.TemporaryDirectory(prefix="tenter-tests-")
os.environ["TENTER_DATA_DIR"] = _folder.name
os.environ.setdefault("OMP_NUM_THREADS", "1")  # each worker has a core: more threads wait for each other, and it burns
os.environ["TENTER_PHOTO_PASSPHRASE"] = "linen on the line"  # no test asks the keyring of whoever runs it

from tenter.web.settings import *  # noqa: E402, F403 - the folder must be named first

PASSWORD_HASHERS = ["tests.support.quick_argon2.QuickArgon2"]
