"""The one settings file. Everything that differs between machines comes from the environment.

`.env.sample` lists the variables. Test values are set by tests/plugins/database.py. Started through
manage.py with nothing configured this is a developer's machine; started through wsgi.py it is a server.
"""

from pathlib import Path
from typing import Any
from urllib.parse import quote

import dj_database_url
from csp.constants import NONE, SELF

from foundation import environment

BASE_DIR = Path(__file__).resolve().parent.parent
environment.read_file(BASE_DIR / ".env")

# What the app writes: the embedded database, photos, the developer's secret.
VAR_DIR = Path(environment.text("DJANGO_VAR_DIR", str(BASE_DIR / "var"))).resolve()
VAR_DIR.mkdir(parents=True, exist_ok=True)
DEBUG = environment.flag("DJANGO_DEBUG", default=False)

if DEBUG:
    SECRET_KEY = environment.text("DJANGO_SECRET_KEY", default=environment.kept_secret(VAR_DIR / "secret_key"))
else:
    SECRET_KEY = environment.text(
        "DJANGO_SECRET_KEY",
        hint="A server needs a long random text there, always the same. Make one with: "
        "python3 -c 'import secrets; print(secrets.token_urlsafe(50))'",
    )

# Who may be asked for: host names, and for forms the full addresses with https://.
ALLOWED_HOSTS = environment.words("DJANGO_ALLOWED_HOSTS", default="localhost 127.0.0.1 [::1]" if DEBUG else "")
CSRF_TRUSTED_ORIGINS = environment.words("DJANGO_CSRF_TRUSTED_ORIGINS")

INSTALLED_APPS = [
    # Before Django's own: its `test` command runs pytest instead.
    "foundation",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "whitenoise.runserver_nostatic",
    "django.contrib.staticfiles",
    "django_htmx",
    "csp",
    "jobs",
    "inspections",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "csp.middleware.CSPMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    # A page is for people who are logged in unless its view says @login_not_required.
    "django.contrib.auth.middleware.LoginRequiredMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
]

ROOT_URLCONF = "foundation.urls"
WSGI_APPLICATION = "foundation.wsgi.application"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
            ],
        },
    },
]

# Taking the write lock at the start of a transaction, waiting for it and a write-ahead log are what
# keeps concurrent writers from failing on the embedded database.
SQLITE_OPTIONS = {
    "transaction_mode": "IMMEDIATE",
    "timeout": 20,
    "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=NORMAL;",
}


def database(url: str) -> dict[str, Any]:
    """The database that `url` names, with what the embedded one needs to be shared by several writers."""
    config: dict[str, Any] = {**dj_database_url.parse(url, conn_max_age=60, conn_health_checks=True)}
    if config["ENGINE"] == "django.db.backends.sqlite3":
        config["CONN_MAX_AGE"] = 0
        config["OPTIONS"] = {**SQLITE_OPTIONS, **config.get("OPTIONS", {})}
        # In a file beside the database, not in memory: a live server's threads each have their own connection.
        config["TEST"] = {"NAME": str(Path(config["NAME"]).with_suffix(".test.sqlite3"))}
    return config


DATABASES = {"default": database(environment.text("DATABASE_URL", f"sqlite:///{quote(str(VAR_DIR))}/db.sqlite3"))}

AUTH_USER_MODEL = "jobs.Person"
LOGIN_URL = "/account/login/"
LOGIN_REDIRECT_URL = "/"
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator"},
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator", "OPTIONS": {"min_length": 10}},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
    {"NAME": "django.contrib.auth.password_validation.NumericPasswordValidator"},
]

# Invitations go out by mail. Without a mail server they are written to the log.
EMAIL_HOST = environment.text("DJANGO_EMAIL_HOST", "")
EMAIL_PORT = environment.number("DJANGO_EMAIL_PORT", 587)
EMAIL_HOST_USER = environment.text("DJANGO_EMAIL_USER", "")
EMAIL_HOST_PASSWORD = environment.text("DJANGO_EMAIL_PASSWORD", "")
EMAIL_USE_TLS = True
EMAIL_TIMEOUT = 10
EMAIL_BACKEND = f"django.core.mail.backends.{'smtp' if EMAIL_HOST else 'console'}.EmailBackend"
DEFAULT_FROM_EMAIL = SERVER_EMAIL = environment.text("DJANGO_EMAIL_FROM", "Footings to Backfill <footings@localhost>")

# The hourly forecast, asked only when somebody presses the button. The service wants to know who calls.
WEATHER_FORECAST_URL = environment.text("WEATHER_FORECAST_URL", "https://api.weather.gov")
WEATHER_USER_AGENT = environment.text("WEATHER_USER_AGENT", "footings-to-backfill (foundation weather page)")

# A phone in the field stays logged in for a month.
SESSION_COOKIE_AGE = 30 * 24 * 3600

LANGUAGE_CODE = "en-us"
USE_I18N = False
USE_TZ = True
TIME_ZONE = environment.text("DJANGO_TIME_ZONE", "America/Chicago")

STATIC_URL = "/static/"
STATIC_ROOT = Path(environment.text("DJANGO_STATIC_ROOT", str(VAR_DIR / "static")))
STATICFILES_DIRS = [BASE_DIR / "static"]
# A server serves files named by their content, made by collectstatic; a developer's machine serves them as they lie.
WHITENOISE_USE_FINDERS = DEBUG
WHITENOISE_AUTOREFRESH = DEBUG
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {
        "BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"
        if DEBUG
        else "whitenoise.storage.CompressedManifestStaticFilesStorage"
    },
}

# Photos and hand-outs: never served from here directly, a view checks who asks.
MEDIA_ROOT = VAR_DIR / "media"
PHOTO_MAX_BYTES = 10 * 1024 * 1024
# A whole request: a few photos, no more. Refused by its announced length, before it is read.
REQUEST_MAX_BYTES = 4 * PHOTO_MAX_BYTES
# Text fields: a large plan walked leg by leg.
DATA_UPLOAD_MAX_MEMORY_SIZE = 5 * 1024 * 1024
DATA_UPLOAD_MAX_NUMBER_FIELDS = 10_000
FILE_UPLOAD_HANDLERS = [
    "foundation.uploads.RefuseHugeRequests",
    "django.core.files.uploadhandler.MemoryFileUploadHandler",
    "django.core.files.uploadhandler.TemporaryFileUploadHandler",
]
FILE_UPLOAD_PERMISSIONS = 0o640

# Nothing inline, nothing from elsewhere. img also takes what the page itself made: QR codes, photos not yet sent.
CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [NONE],
        "script-src": [SELF],
        "style-src": [SELF],
        "connect-src": [SELF],
        "worker-src": [SELF],
        "manifest-src": [SELF],
        "form-action": [SELF],
        "img-src": [SELF, "data:", "blob:"],
        "font-src": [SELF],
        "base-uri": [NONE],
        "frame-ancestors": [NONE],
    }
}
X_FRAME_OPTIONS = "DENY"
SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "same-origin"
CSRF_COOKIE_SAMESITE = "Lax"
SESSION_COOKIE_SAMESITE = "Lax"

# A server speaks https only, and says so for a year.
SECURE_SSL_REDIRECT = environment.flag("DJANGO_HTTPS", default=not DEBUG)
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = SECURE_SSL_REDIRECT
SECURE_HSTS_SECONDS = 365 * 24 * 3600 if SECURE_SSL_REDIRECT else 0
# For this one name only: what else lives under the domain is not ours to decide.
SECURE_HSTS_INCLUDE_SUBDOMAINS = SECURE_HSTS_PRELOAD = False
SILENCED_SYSTEM_CHECKS = ["security.W005", "security.W021"]
# The health page is asked by the proxy itself, in plain http.
SECURE_REDIRECT_EXEMPT = [r"^health$"]
if environment.flag("DJANGO_BEHIND_PROXY", default=False):
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")

DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"line": {"format": "{asctime} {levelname} {name}: {message}", "style": "{"}},
    "handlers": {"stderr": {"class": "logging.StreamHandler", "formatter": "line"}},
    "root": {"handlers": ["stderr"], "level": "WARNING"},
    # Without the handlers it brings, which would say everything twice.
    "loggers": {"django": {"handlers": [], "level": "WARNING"}},
}
