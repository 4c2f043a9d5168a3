"""A seal is made and read in a thread that has an event loop already, as a browser test or a server may have."""

import asyncio

import pytest

from commissioning.handover.seal import NO_SEAL, seal_of, seal_pdf


@pytest.mark.parametrize("data", [b"%PDF-1.7 torn"])
def test_seal_is_read_beside_a_running_event_loop(data: bytes) -> None:
    async def within() -> object:
        return seal_of(data)

    assert asyncio.run(within()) == NO_SEAL


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

    sealed = asyncio.run(within())
    assert seal_of(sealed) != NO_SEAL
    assert len(sealed) > len(written.getvalue())
