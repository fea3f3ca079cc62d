"""Files that are whole or not there."""

import os
import sys
import tempfile
import unicodedata
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO

if sys.platform != "win32":
    import fcntl

BESIDE = ".writing-"  # how a file's name starts until it is whole
BUSY = ".running"
LONGEST = 200  # bytes of a file's name, so that an ending still fits


def write(target: Path, data: bytes | str) -> None:
    """Write ``data`` beside ``target`` first, then put it in its place in one step."""
    with beside(target) as file:
        file.write(data if isinstance(data, bytes) else data.encode("utf-8"))


@contextmanager
def beside(target: Path) -> Iterator[BinaryIO]:
    """A file to write to that takes its place when it is whole, and goes again if it never is."""
    make_folder(target.parent)
    name = ""
    try:
        handle, name = tempfile.mkstemp(dir=target.parent, prefix=BESIDE)
        with open(handle, "wb") as file:
            yield file
        os.chmod(name, 0o644)
        os.replace(name, target)
    except BaseException as wrong:
        if name:
            Path(name).unlink(missing_ok=True)
        if isinstance(wrong, OSError) and wrong.errno:
            raise unwritten(target, wrong) from None
        raise


def unwritten(target: Path, wrong: OSError) -> OSError:
    """Why a file can't be written, in words."""
    return OSError(f"{target}: it can’t be written ({wrong.strerror}): make room, or name another folder")


def make_folder(folder: Path) -> None:
    """Have a folder to write in, or say in words why there can be none."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as wrong:
        raise OSError(f"{folder}: no folder can be made there ({wrong.strerror}): name one that is there or can be made") from None
    if not os.access(folder, os.W_OK):
        raise OSError(f"{folder}: nothing may be written there: name a folder of your own")


class Busy(OSError):
    """Another run works in a folder."""


@contextmanager
def alone_in(folder: Path) -> Iterator[None]:
    """No other run writes into a folder meanwhile; what a killed one was writing is taken away."""
    make_folder(folder)
    with open(folder / BUSY, "w") as mark:
        try:
            if sys.platform != "win32":
                fcntl.flock(mark, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            raise Busy(f"{folder}: another run is writing there: wait until it has ended, or name another folder") from None
        _remove_left_over(folder)
        yield


def _remove_left_over(folder: Path) -> None:
    """Take away what a killed run was writing."""
    for left in folder.glob(f"{BESIDE}*"):
        left.unlink(missing_ok=True)


def file_name(name: str, sheet: str = "") -> str:
    """A truck's name as a file's: letters and digits of any script, dashes between, nothing a folder or a shell minds.

    A sheet's name comes after it and stays whole: it alone tells one truck's files apart.
    """
    after = f"-{sheet}" if sheet else ""
    kept = "".join(letter if letter.isalnum() else " " for letter in unicodedata.normalize("NFC", name))
    made = "-".join(kept.split()).lower()[: 80 - len(after)]
    while len((made + after).encode()) > LONGEST:  # a name in another script takes up to four bytes a letter
        made = made[:-1]
    return (made.rstrip("-") or "truck") + after
