"""Settings of the tests: the production ones, with what would slow the tests down or leave traces replaced."""

import atexit
import os
import shutil
import tempfile

IN_MEMORY = "/dev/shm"  # noqa: S108  # a folder of our own is made in it, closed to others
SCRATCH = tempfile.mkdtemp(prefix="logbook-tests-", dir=IN_MEMORY if os.path.isdir(IN_MEMORY) else None)
atexit.register(shutil.rmtree, SCRATCH, ignore_errors=True)
for name in ("SECRET_KEY", "ALLOWED_HOSTS", "DATABASE_URL", "BEHIND_PROXY", "DEBUG", "EMAIL_HOST"):
    os.environ.pop(name, None)
os.environ.update({"DATA_DIR": SCRATCH, "HTTPS": "0", "DEMO": "1"})

os.mkdir(f"{SCRATCH}/static")

from commissioning.settings import *  # noqa: E402, F403  # the environment above must be set first

# A file, so that every connection is a connection: in memory all threads would share one transaction.
DATABASES["default"]["TEST"] = {"NAME": f"{SCRATCH}/test.sqlite3"}  # noqa: F405
if os.environ.get("TEST_DATABASE_URL"):  # the same tests on PostgreSQL
    DATABASES["default"] = database_settings(os.environ["TEST_DATABASE_URL"], ROOT)  # noqa: F405
ALLOWED_HOSTS = ["testserver", "localhost", "127.0.0.1"]
AXES_ENABLED = False  # its own tests switch it on
PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
EMAIL_BACKEND = "django.core.mail.backends.locmem.EmailBackend"
