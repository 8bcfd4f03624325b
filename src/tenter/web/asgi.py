"""What the server runs."""

import os
from functools import partial
from typing import cast

from django.conf import settings
from django.core.asgi import get_asgi_application

from tenter.web.pictures import body_limit
from tenter.web.server import temporary_files

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tenter.web.settings")
temporary_files.keep_them_in(settings.DATA_DIR)
_pages = cast("body_limit.Application", get_asgi_application())
application = body_limit.limited(_pages, partial(body_limit.largest_body, session_cookie=settings.SESSION_COOKIE_NAME))
