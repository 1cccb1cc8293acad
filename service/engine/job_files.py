"""Job files out of a bundle, read inside a guarded child."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory


@contextmanager
def laid_out(files: Mapping[str, bytes]) -> Iterator[list[tuple[str, Path]]]:
    """Lay files by name out in a folder for a while, each under a harmless name with its own plain ending."""
    with TemporaryDirectory() as folder:
        paths = []
        for number, (name, content) in enumerate(files.items()):
            path = Path(folder) / f"{number}{safe_suffix(name)}"
            path.write_bytes(content)
            paths.append((name, path))
        yield paths


def safe_suffix(name: str) -> str:
    """Return the ending of a file's name where it is plain: all that readers look at.

    Examples
    --------
    >>> safe_suffix("../../block A.XLSX"), safe_suffix("a.b/c")
    ('.xlsx', '')
    """
    suffix = Path(name).suffix.lower()
    return suffix if suffix[1:].isalnum() and len(suffix) < 8 else ""
