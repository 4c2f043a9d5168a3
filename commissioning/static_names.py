"""Static files in production: compressed, and named by their content; the phone's modules by the content of all."""

import hashlib
from fnmatch import fnmatch
from functools import cache
from pathlib import Path
from typing import Any, ClassVar

from django.contrib.staticfiles import finders
from whitenoise.storage import CompressedManifestStaticFilesStorage

PHONE = "phone/*.js"
# how the modules in static/phone name each other
IMPORTS = (
    (r"""(?P<matched>from "(?P<url>\./[\w.-]+\.js)")""", 'from "%(url)s"'),
    (r"""(?P<matched>import\("(?P<url>\./[\w.-]+\.js)"\))""", 'import("%(url)s")'),
)


@cache
def phone_release() -> str:
    """Return a hash over all of the phone's modules."""
    found = hashlib.sha256()
    for path in sorted(Path(str(finders.find("phone/main.js"))).parent.glob("*.js")):
        found.update(path.read_bytes())
    return found.hexdigest()[:12]


class HashedNames(CompressedManifestStaticFilesStorage):  # type: ignore[misc]  # it comes without types
    """A page of one release never meets a module of another: an import names its file by content too.

    Were each module named by its own content, a change in one would rename all that import it, one after the other,
    and every name on the way would be written and pressed. Django's own switch would besides read every script, and a
    package that we use has one with a dead import.
    """

    patterns: ClassVar = (*CompressedManifestStaticFilesStorage.patterns, (PHONE, IMPORTS))

    def file_hash(self, name: str | None, content: Any = None) -> Any:
        if name and content is not None and fnmatch(name, PHONE):
            return phone_release()
        return super().file_hash(name, content)
