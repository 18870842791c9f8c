"""What a disk lets a notebook do, and what a person reads where it refuses.

SQLite writes two small files beside the notebook while it is open. Where that is refused its own words name neither a
full disk nor one that may only be read, so both are looked for here.
Limits: another program may fill or free the disk in between. Worked value: on a disk without a free byte, `disk I/O
error` is told as "the disk is full; nothing was changed".
"""

import os
import shutil
from pathlib import Path

WAIT_S = 5.0  # for another program that writes
FULL, READ_ONLY = "the disk is full", "the file or its folder is read-only"
BESIDE = 64 * 1024  # bytes of the files beside it


def refusal(folder: Path) -> str:
    """Why nothing can be written in a folder; empty where it can, or where there is no such folder."""
    if not folder.exists():
        return ""
    if not os.access(folder, os.W_OK):
        return READ_ONLY
    return FULL if shutil.disk_usage(folder).free < BESIDE else ""


def stands_alone(path: Path) -> bool:
    """Whether nothing can be written beside the file, and no change waits beside it: then it is read as it stands."""
    waiting = path.with_name(f"{path.name}-wal")
    return bool(refusal(path.parent)) and not (waiting.exists() and waiting.stat().st_size)


def why(path: Path, error: BaseException) -> str:
    """What SQLite or the disk refused, in words a person can act on."""
    text = str(error).lower()
    unclear = "unable to open" in text or "i/o error" in text
    found = refusal(path.parent) if unclear else ""
    if found == FULL or "full" in text or "no space" in text:
        return f"{FULL}; nothing was changed"
    if found or any(word in text for word in ("readonly", "read-only", "permission", "denied")):
        return f"{READ_ONLY}; nothing was changed"
    if "locked" in text:
        return f"another program held it for more than {WAIT_S:g} s; nothing was changed"
    if "not a database" in text or "malformed" in text:
        return "the file is damaged or no notebook; move it away to begin a new one"
    return f"{str(error)[:120]}; nothing was changed"
