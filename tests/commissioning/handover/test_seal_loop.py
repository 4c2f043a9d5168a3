"""A seal is made and read in a thread that has an event loop already, as a browser test or a server may have."""

import asyncio
from collections.abc import Coroutine
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import pytest

from commissioning.handover.seal import NO_SEAL, seal_of, seal_pdf


def beside_a_loop(work: Coroutine[Any, Any, Any]) -> Any:
    """Run in a thread of its own: a browser test before this one leaves its loop in the main thread."""
    with ThreadPoolExecutor(1) as threads:
        return threads.submit(asyncio.run, work).result()


@pytest.mark.parametrize("data", [b"%PDF-1.7 torn"])
def test_seal_is_read_beside_a_running_event_loop(data: bytes) -> None:
    async def within() -> object:
        return seal_of(data)

    assert beside_a_loop(within()) == NO_SEAL


def test_seal_is_made_beside_a_running_event_loop(settings, tmp_path) -> None:
    from io import BytesIO

    from pypdf import PdfWriter

    settings.KEYS_ROOT = tmp_path
    blank = PdfWriter()
    blank.add_blank_page(100, 100)
    written = BytesIO()
    blank.write(written)

    async def within() -> bytes:
        return seal_pdf(written.getvalue(), "Saltbush office")

    sealed = beside_a_loop(within())
    assert seal_of(sealed) != NO_SEAL
    assert len(sealed) > len(written.getvalue())
