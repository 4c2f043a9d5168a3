"""A sheet can be issued here as in the room of the handover."""

from tests.commissioning.handover.conftest import issue, small_page

__all__ = ["issue", "small_page"]
