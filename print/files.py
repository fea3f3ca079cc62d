"""Files that are whole or not there."""

import os
import tempfile
from pathlib import Path


def write(target, data):
    """Write ``data`` beside ``target`` first, then put it in its place in one step."""
    target = Path(target)
    target.parent.mkdir(parents=True, exist_ok=True)
    handle, beside = tempfile.mkstemp(dir=target.parent, prefix=".writing-")
    try:
        with open(handle, "wb") as file:
            file.write(data if isinstance(data, bytes) else data.encode("utf-8"))
        os.chmod(beside, 0o644)
        os.replace(beside, target)
    except BaseException:
        Path(beside).unlink(missing_ok=True)
        raise
