"""Static files in production: compressed, and named by their content, the phone's modules included."""

from typing import ClassVar

from whitenoise.storage import CompressedManifestStaticFilesStorage

# how the modules in static/phone name each other
IMPORTS = (
    (r"""(?P<matched>from "(?P<url>\./[\w.-]+\.js)")""", 'from "%(url)s"'),
    (r"""(?P<matched>import\("(?P<url>\./[\w.-]+\.js)"\))""", 'import("%(url)s")'),
)


class HashedNames(CompressedManifestStaticFilesStorage):  # type: ignore[misc]  # it comes without types
    """A page of one release never meets a module of another: an import names its file by content too.

    Django's own switch for this reads every script, and a package that we use has one with a dead import.
    """

    patterns: ClassVar = (*CompressedManifestStaticFilesStorage.patterns, ("phone/*.js", IMPORTS))
