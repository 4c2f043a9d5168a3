"""Runs the phone's modules in the Node that comes with the browser driver: one process for many cases."""

import json
import subprocess
from pathlib import Path
from typing import Any

from playwright._impl._driver import compute_driver_executable

ROOT = Path(__file__).resolve().parents[2]
MODULES = ROOT / "static" / "phone"


def run(module: str, script: str, cases: list[Any]) -> list[Any]:
    """Return what `script` answers to each case. It sees the module as `m` and the case as `it`, and returns JSON."""
    program = f"""
    import * as m from {json.dumps((MODULES / module).as_uri())};
    import {{ readFileSync }} from "node:fs";
    const answer = async (it) => {{ {script} }};
    const found = [];
    for (const it of JSON.parse(readFileSync(0, "utf8"))) found.push(await answer(it));
    process.stdout.write(JSON.stringify(found));
    """
    node = str(compute_driver_executable()[0])
    done = subprocess.run(
        [node, "--input-type=module", "-e", program],
        input=json.dumps(cases),
        capture_output=True,
        text=True,
        timeout=60,
    )
    assert done.returncode == 0, done.stderr[-2000:]
    found: list[Any] = json.loads(done.stdout)
    return found
