"""Settings, read from the environment; DEVELOPERS.md lists the variables.

Without any variable the result is a closed production set-up: no debugging, HTTPS demanded.
`manage.py demo` sets DEMO=1, the one variable that loosens this, for a database of its own.
"""

from datetime import timedelta
from pathlib import Path
from urllib.parse import quote

from commissioning import environment
from commissioning.database import database_settings

ROOT = Path(__file__).resolve().parent.parent
DEMO = environment.flag("DEMO", default=False)
DATA_DIR = environment.folder("DATA_DIR", ROOT / ".data")

DEBUG = environment.flag("DEBUG", default=False)
SECRET_KEY = environment.secret_key("SECRET_KEY", DATA_DIR / "secret_key")
SECRET_KEY_FALLBACKS = environment.names("SECRET_KEY_FALLBACKS")
ALLOWED_HOSTS = environment.names("ALLOWED_HOSTS") or ["localhost", "127.0.0.1", "[::1]"]
CSRF_TRUSTED_ORIGINS = environment.origins("CSRF_TRUSTED_ORIGINS")
# Where the public finds this logbook; printed as a code on every sheet. Empty: the address the office asks under.
PUBLIC_ADDRESS = next(iter(environment.origins("PUBLIC_ADDRESS")), "").rstrip("/")
HTTPS = environment.flag("HTTPS", default=not DEMO)
# Set where a proxy that overwrites these headers ends TLS and hands requests on; never otherwise.
BEHIND_PROXY = environment.flag("BEHIND_PROXY", default=False)

INSTALLED_APPS = [
    "commissioning",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "django.forms",
    "django_htmx",
    "axes",
]
MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "commissioning.middleware.security_headers",
    "commissioning.middleware.pressed_pages",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "commissioning.middleware.SignInRequiredMiddleware",
    "commissioning.middleware.keep_session_alive",
    "axes.middleware.AxesMiddleware",
]
ROOT_URLCONF = "commissioning.urls"
FORM_RENDERER = "commissioning.renderer.FormRenderer"
WSGI_APPLICATION = "commissioning.wsgi.application"
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [ROOT / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "commissioning.navigation.rooms",
            ],
        },
    },
]

OWN_DATABASE = DATA_DIR / ("demo.sqlite3" if DEMO else "logbook.sqlite3")
DATABASES = {
    "default": database_settings(environment.text("DATABASE_URL") or f"sqlite:///{quote(str(OWN_DATABASE))}", ROOT)
}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
MEDIA_ROOT = DATA_DIR / ("demo-media" if DEMO else "media")
KEYS_ROOT = DATA_DIR / ("demo-keys" if DEMO else "keys")
SEAL_PASSWORD = environment.text("SEAL_PASSWORD")
OFFICE_NAME = environment.text("OFFICE_NAME")
OFFICE_TELEPHONE = environment.text("OFFICE_TELEPHONE")
FILE_UPLOAD_PERMISSIONS = 0o640
DATA_UPLOAD_MAX_MEMORY_SIZE = 5 * 1024 * 1024

# People and sign-in
AUTH_USER_MODEL = "commissioning.User"
AUTHENTICATION_BACKENDS = ["axes.backends.AxesStandaloneBackend", "django.contrib.auth.backends.ModelBackend"]
PASSWORD_HASHERS = [
    "django.contrib.auth.hashers.Argon2PasswordHasher",
    "django.contrib.auth.hashers.PBKDF2PasswordHasher",
]
AUTH_PASSWORD_VALIDATORS = [
    {
        "NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator",
        "OPTIONS": {"user_attributes": ("username", "display_name", "email")},
    },
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator", "OPTIONS": {"min_length": 10}},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
]
LOGIN_URL = "sign-in"
LOGIN_REDIRECT_URL = "home"
LOGOUT_REDIRECT_URL = "sign-in"
PASSWORD_RESET_TIMEOUT = 4 * 3600

# A wrong password counts against the name at that address: a stranger elsewhere locks nobody out.
AXES_LOCKOUT_PARAMETERS = [["username", "ip_address"]]
AXES_FAILURE_LIMIT = 6
AXES_COOLOFF_TIME = timedelta(minutes=15)
AXES_RESET_ON_SUCCESS = True
AXES_USERNAME_CALLABLE = "commissioning.accounts.throttle.username"
AXES_CLIENT_IP_CALLABLE = "commissioning.accounts.throttle.client_address"
AXES_LOCKOUT_CALLABLE = "commissioning.accounts.throttle.locked_out"
AXES_DISABLE_ACCESS_LOG = True

SESSION_ENGINE = "django.contrib.sessions.backends.db"
SESSION_COOKIE_AGE = 30 * 24 * 3600  # a crew may be away for weeks; renewed once a day by use
SESSION_COOKIE_SECURE = HTTPS
SESSION_COOKIE_NAME = "__Host-session" if HTTPS else "session"
CSRF_COOKIE_SECURE = HTTPS
CSRF_COOKIE_HTTPONLY = True
CSRF_COOKIE_NAME = "__Host-csrf" if HTTPS else "csrf"
CSRF_FAILURE_VIEW = "commissioning.errors.csrf_failure"
MESSAGE_STORAGE = "django.contrib.messages.storage.session.SessionStorage"

# The way here
SECURE_SSL_REDIRECT = HTTPS
SECURE_REDIRECT_EXEMPT = [r"^(healthz|readyz)$"]  # asked on the machine itself, behind what speaks HTTPS
SECURE_HSTS_SECONDS = 365 * 24 * 3600 if HTTPS else 0
SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"
if BEHIND_PROXY:
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
# Subdomains and the browsers' preload list concern the rest of an office's domain, not this program.
SILENCED_SYSTEM_CHECKS = ["security.W005", "security.W021"]

# Mail
EMAIL_HOST = environment.text("EMAIL_HOST")
EMAIL_PORT = environment.whole_number("EMAIL_PORT", 587, lowest=1, highest=65535)
EMAIL_HOST_USER = environment.text("EMAIL_USER")
EMAIL_HOST_PASSWORD = environment.text("EMAIL_PASSWORD")
EMAIL_USE_TLS = environment.flag("EMAIL_TLS", default=True)
EMAIL_TIMEOUT = 10
DEFAULT_FROM_EMAIL = environment.text("EMAIL_FROM", "logbook@localhost")
SERVER_EMAIL = DEFAULT_FROM_EMAIL
EMAIL_BACKEND = f"django.core.mail.backends.{'smtp' if EMAIL_HOST else 'console'}.EmailBackend"

# Words, numbers, times
LANGUAGE_CODE = "en"
USE_I18N = False
TIME_ZONE = "UTC"
USE_TZ = True

# Static files: names by content in production, straight from the tree in the demo
STATIC_URL = "static/"
STATIC_ROOT = DATA_DIR / "static"
STATICFILES_DIRS = [ROOT / "static"]
WHITENOISE_USE_FINDERS = DEMO
# the fonts are the paper's: they never travel, and pressing them takes longer than all the rest
WHITENOISE_SKIP_COMPRESS_EXTENSIONS = ("jpg", "jpeg", "png", "gif", "webp", "zip", "gz", "br", "woff", "woff2", "ttf")
STATIC_STORAGE = (
    "django.contrib.staticfiles.storage.StaticFilesStorage"
    if DEMO or DEBUG
    else "commissioning.static_names.HashedNames"
)
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": STATIC_STORAGE},
}

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"line": {"format": "{asctime} {levelname} {name}: {message}", "style": "{"}},
    "handlers": {"console": {"class": "logging.StreamHandler", "formatter": "line"}},
    "root": {"handlers": ["console"], "level": "WARNING"},
    "loggers": {"django": {"handlers": ["console"], "level": "WARNING", "propagate": False}},
}
