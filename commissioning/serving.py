"""Serving from inside a management command, with the settings that the command has made."""

from collections.abc import Callable
from typing import Any

from django.core.wsgi import get_wsgi_application
from django.db import connections


def serve(host: str, port: int, ready: Callable[[], None]) -> None:
    """Serve until interrupted; `ready` is called once the port answers."""
    from gunicorn.app.base import BaseApplication

    class Application(BaseApplication):  # type: ignore[misc]  # it comes without types
        def load_config(self) -> None:
            self.cfg.set("bind", f"{host}:{port}")
            self.cfg.set("workers", 2)
            self.cfg.set("threads", 4)
            self.cfg.set("loglevel", "warning")
            self.cfg.set("when_ready", lambda server: ready())

        def load(self) -> Any:
            return get_wsgi_application()

    connections.close_all()  # a connection must not be shared with the workers
    Application().run()
