"""Django's settings: one file, for one studio's own machine. What may differ comes from the environment.

`TENTER_DATA_DIR`, `DATABASE_URL` (SQLite in the data folder when left out), `TENTER_HOSTS` (further names that this
machine answers to, separated by commas: of a proxy of its own, which has to encrypt what it passes on).
"""

import os
from pathlib import Path

import dj_database_url
from csp.constants import NONE, SELF

from tenter.language import SOURCE
from tenter.translations import catalogue_folder, known_languages
from tenter.web.pictures.body_limit import FORM
from tenter.web.pictures.pictures import LARGEST_UPLOAD
from tenter.web.server import temporary_files
from tenter.web.server.data_dir import data_dir, secret_key
from tenter.web.server.time_zone import studio_zone

_HOURS = 3600  # seconds
os.umask(0o077)  # what is written from here on is for its owner alone, whatever the mode of the folder
DATA_DIR = data_dir()
SECRET_KEY = secret_key(DATA_DIR)
DEBUG = False
ALLOWED_HOSTS = [
    "localhost",
    "127.0.0.1",
    "[::1]",
    *(host.strip() for host in os.environ.get("TENTER_HOSTS", "").split(",") if host.strip()),
]

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "django_htmx",
    "csp",
    "tenter.web.apps.TenterWeb",
]
MIDDLEWARE = [
    "tenter.web.devices.door.NetworkDoor",  # before all else: what may not come in is not looked at
    "django.middleware.security.SecurityMiddleware",
    "csp.middleware.CSPMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "tenter.web.sweeping.every_answer.EveryAnswer",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "tenter.web.server.rolling.RollingSession",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.auth.middleware.LoginRequiredMiddleware",  # a page is open only where it says so
    "tenter.web.languages.studios_language.InStudiosLanguage",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "tenter.web.rules.consent_refused.ConsentRefused",
]
ROOT_URLCONF = "tenter.web.urls"
ASGI_APPLICATION = "tenter.web.asgi.application"
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": sorted(Path(__file__).parent.glob("*/templates")),  # each room's own; templates/ is what they share
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "tenter.web.context.navigation",
            ]
        },
    }
]

# -- the database ------------------------------------------------------------------------------------------------------

DATABASES = {"default": dj_database_url.config(default=f"sqlite:///{DATA_DIR / 'tenter.sqlite3'}")}
if DATABASES["default"]["ENGINE"] == "django.db.backends.sqlite3":
    # An acknowledged entry is on the disk (synchronous=FULL), and what is deleted is overwritten there (secure_delete).
    # A writer takes its lock at once and waits for the other.
    DATABASES["default"]["OPTIONS"] = {
        "transaction_mode": "IMMEDIATE",
        "timeout": 20,
        "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; PRAGMA secure_delete=ON;",
    }
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

# -- who may come in ---------------------------------------------------------------------------------------------------

PASSWORD_HASHERS = ["tenter.web.server.hashing.TwoAtOnce"]
# Ten characters are set by judgement: more than the eight of NIST SP 800-63B, 5.1.1.1.
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator"},
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator", "OPTIONS": {"min_length": 10}},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
]
LOGIN_URL, LOGIN_REDIRECT_URL, LOGOUT_REDIRECT_URL = "login", "day", "login"
SESSION_COOKIE_AGE = 12 * _HOURS  # a working day, counted from the last page opened
SESSION_COOKIE_NAME, CSRF_COOKIE_NAME = "tenter_session", "tenter_csrf"
SESSION_COOKIE_HTTPONLY = CSRF_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = CSRF_COOKIE_SAMESITE = "Lax"

# -- what a page may do ------------------------------------------------------------------------------------------------

CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [NONE],
        "script-src": [SELF],
        "style-src": [SELF],
        "img-src": [SELF],
        "font-src": [SELF],
        "connect-src": [SELF],
        "manifest-src": [SELF],
        "form-action": [SELF],
        "base-uri": [NONE],
        "frame-ancestors": [NONE],
    }
}
SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"

# -- the rest ----------------------------------------------------------------------------------------------------------

STATIC_URL = "/static/"
WHITENOISE_USE_FINDERS = True  # served from the installed packages, with no copying step
WHITENOISE_AUTOREFRESH = False
FILE_UPLOAD_HANDLERS = [
    "tenter.web.pictures.upload_limit.PhotographLimit",
    "django.core.files.uploadhandler.MemoryFileUploadHandler",
    "django.core.files.uploadhandler.TemporaryFileUploadHandler",
]
DATA_UPLOAD_MAX_MEMORY_SIZE = FORM  # of what is no file
FILE_UPLOAD_MAX_MEMORY_SIZE = LARGEST_UPLOAD + FORM  # a face is never on the disk but sealed
FILE_UPLOAD_TEMP_DIR = temporary_files.folder_in(DATA_DIR)  # of a backup that is taken in
TIME_ZONE, USE_TZ = studio_zone(DATA_DIR, os.environ.get("TZ")), True
LANGUAGE_CODE = SOURCE
LANGUAGES = [(code, code) for code in known_languages()]
LOCALE_PATHS = [catalogue_folder()]
FORMAT_MODULE_PATH = ["tenter.web.languages"]
LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "handlers": {
        "file": {"class": "tenter.web.server.error_log.ErrorLog", "folder": DATA_DIR, "level": "ERROR"},
        "terminal": {"class": "logging.StreamHandler", "level": "ERROR"},
    },
    "root": {"handlers": ["file"]},
    "loggers": {"uvicorn": {"handlers": ["terminal"], "level": "WARNING"}},
}
