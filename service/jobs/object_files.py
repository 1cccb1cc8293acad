"""Files of jobs in an object store, for services on several machines (optional extra ``objects``)."""

from __future__ import annotations

import contextlib
import hashlib
import tempfile
import time
from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime
from typing import Any, BinaryIO

import fsspec

_CHUNK = 1 << 20


class ObjectFiles:
    """A file store behind any address that fsspec knows, such as ``s3://bucket/screenbatch``.

    An object appears whole or not at all; putting the same content again makes
    it young again. Credentials are the library's business: environment or role.
    """

    def __init__(self, url: str) -> None:
        self._store: Any
        self._store, self._root = fsspec.core.url_to_fs(url)

    def put(self, content: bytes) -> str:
        """Keep content and return its digest."""
        digest = hashlib.sha256(content).hexdigest()
        with _files_down():
            self._store.makedirs(self._folder(digest), exist_ok=True)
            self._store.pipe_file(self._place(digest), content)
        return digest

    def put_stream(self, stream: BinaryIO) -> tuple[str, int]:
        """Keep what a stream holds: first in a temporary file, since its digest is its name."""
        hasher, size = hashlib.sha256(), 0
        with tempfile.NamedTemporaryFile() as arriving:
            while chunk := stream.read(_CHUNK):
                hasher.update(chunk)
                size += len(chunk)
                arriving.write(chunk)
            arriving.flush()
            digest = hasher.hexdigest()
            with _files_down():
                self._store.makedirs(self._folder(digest), exist_ok=True)
                self._store.put_file(arriving.name, self._place(digest))
        return digest, size

    def get(self, digest: str) -> bytes:
        """Return content."""
        with _files_down():
            content: bytes = self._store.cat_file(self._place(digest))
            return content

    def open(self, digest: str) -> BinaryIO:
        """Return content as a stream."""
        with _files_down():
            stream: BinaryIO = self._store.open(self._place(digest), "rb")
            return stream

    def remove(self, digest: str, *, unless_younger_than: float = 0.0) -> None:
        """Forget content, if it is there and is old enough."""
        place = self._place(digest)
        with _files_down():
            self._store.invalidate_cache()
            if self._store.exists(place) and _changed(self._store.info(place)) <= time.time() - unless_younger_than:
                self._store.rm_file(place)

    def older_than(self, seconds: float, folders: Sequence[str] | None = None) -> Iterator[str]:
        """Yield the digests of what was last put that long ago."""
        line = time.time() - seconds
        with _files_down():
            self._store.invalidate_cache()
            for folder in [f"{self._root}/{name}" for name in folders] if folders is not None else [self._root]:
                for place, known in self._store.find(folder, detail=True).items():
                    if _changed(known) < line:
                        yield str(place).rpartition("/")[2]

    def _folder(self, digest: str) -> str:
        if len(digest) != 64 or not set(digest) <= set("0123456789abcdef"):
            raise FileNotFoundError(f"{digest!r} is no digest")
        return f"{self._root}/{digest[:2]}"

    def _place(self, digest: str) -> str:
        return f"{self._folder(digest)}/{digest}"


@contextlib.contextmanager
def _files_down() -> Iterator[None]:
    """Translate whatever the libraries below raise: to those above an object store that is gone is a disk that is."""
    try:
        yield
    except OSError:
        raise
    except Exception as error:
        raise OSError(f"the object store does not answer: {type(error).__name__}: {error}") from error


def _changed(known: Mapping[str, Any]) -> float:
    changed = known.get("LastModified") or known.get("mtime") or known.get("created")
    return changed.timestamp() if isinstance(changed, datetime) else float(changed or time.time())
