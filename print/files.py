"""Files that are whole or not there."""

import os
import tempfile
import unicodedata
from pathlib import Path

BESIDE = ".writing-"  # how a file's name starts until it is whole
LONGEST = 200  # bytes of a file's name, so that an ending still fits


def write(target, data):
    """Write ``data`` beside ``target`` first, then put it in its place in one step."""
    target = Path(target)
    make_folder(target.parent)
    handle, beside = tempfile.mkstemp(dir=target.parent, prefix=BESIDE)
    try:
        with open(handle, "wb") as file:
            file.write(data if isinstance(data, bytes) else data.encode("utf-8"))
        os.chmod(beside, 0o644)
        os.replace(beside, target)
    except BaseException:
        Path(beside).unlink(missing_ok=True)
        raise


def make_folder(folder):
    """Have a folder to write in, or say in words why there can be none."""
    folder = Path(folder)
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as wrong:
        raise OSError(f"{folder}: no folder can be made there ({wrong.strerror}): name one that is there or can be made") from None
    if not os.access(folder, os.W_OK):
        raise OSError(f"{folder}: nothing may be written there: name a folder of your own")


def remove_left_over(folder):
    """Take away what a killed run was writing."""
    for beside in Path(folder).glob(f"{BESIDE}*"):
        beside.unlink(missing_ok=True)


def file_name(name, sheet=""):
    """A truck's name as a file's: letters and digits of any script, dashes between, nothing a folder or a shell minds.

    A sheet's name comes after it and stays whole: it alone tells one truck's files apart.
    """
    after = f"-{sheet}" if sheet else ""
    kept = "".join(letter if letter.isalnum() else " " for letter in unicodedata.normalize("NFC", name))
    made = "-".join(kept.split()).lower()[: 80 - len(after)]
    while len((made + after).encode()) > LONGEST:  # a name in another script takes up to four bytes a letter
        made = made[:-1]
    return (made.rstrip("-") or "truck") + after
