"""A small site and small pictures, so that a campaign spends its time on the line."""

import io
import random
from typing import Any

from PIL import Image

from tests.sizing.systems import quince_ridge


def small_record() -> dict[str, Any]:
    """Return an as-built record with a well and nothing else."""
    whole = quince_ridge()
    wells = [one for one in whole["components"] if one["tag"] == "W1"]
    return {**whole, "components": [{**one, "host": None} for one in wells], "runs": []}


def picture(chance: random.Random) -> bytes:
    """Return a photo of noise: 40 × 30 px, or one that takes two or three pieces."""
    size = chance.choice([(40, 30), (400, 300), (700, 500)])
    image, out = Image.frombytes("L", size, chance.randbytes(size[0] * size[1])), io.BytesIO()
    image.convert("RGB").save(out, "JPEG", quality=95)
    return out.getvalue()
