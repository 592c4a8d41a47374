"""Several files as one ZIP archive, the same bytes for the same files."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Mapping

NO_CLOCK = (1980, 1, 1, 0, 0, 0)  # the earliest date that a ZIP can carry
MODE = 0o100644  # a plain file that its owner may write


def render(files: Mapping[str, bytes]) -> bytes:
    """Return a ZIP archive of `files` by name, in their order.

    Examples
    --------
    >>> zipfile.ZipFile(io.BytesIO(render({"a.txt": b"word"}))).read("a.txt")
    b'word'
    """
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED, compresslevel=6) as archive:
        for name, data in files.items():
            entry = zipfile.ZipInfo(name, NO_CLOCK)
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.create_system = 3
            entry.external_attr = MODE << 16
            archive.writestr(entry, data)
    return made.getvalue()
