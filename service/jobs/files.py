"""Files of jobs by the hash of their content, in a folder; an object store can stand in for it."""

from __future__ import annotations

import contextlib
import hashlib
import os
import secrets
import time
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import BinaryIO, Protocol

_CHUNK = 1 << 20


class FileStore(Protocol):
    """Keeps content under its SHA-256 digest (64 hexadecimal digits); the same content is kept once."""

    def put(self, content: bytes) -> str:
        """Keep content, safe against power loss when this returns, and return its digest."""

    def put_stream(self, stream: BinaryIO) -> tuple[str, int]:
        """Keep what a stream holds; return its digest and its size in bytes."""

    def get(self, digest: str) -> bytes:
        """Return content.

        Raises
        ------
        FileNotFoundError
            If nothing is kept under that digest.
        """

    def open(self, digest: str) -> BinaryIO:
        """Return content as a stream, for what is too large to be held.

        Raises
        ------
        FileNotFoundError
            If nothing is kept under that digest.
        """

    def remove(self, digest: str, *, unless_younger_than: float = 0.0) -> None:
        """Forget content, if it is there and was not kept or used again within these seconds."""

    def older_than(self, seconds: float, folders: Sequence[str] | None = None) -> Iterator[str]:
        """Yield the digests of what was kept or last used that long ago, or of those that begin as ``folders`` say."""


def pieces(files: FileStore, digest: str) -> Iterator[bytes]:
    """Return content a megabyte at a time, so that a large document is never in memory as a whole.

    Raises
    ------
    FileNotFoundError
        If nothing is kept under that digest.
    """
    kept = files.open(digest)

    def read() -> Iterator[bytes]:
        with kept:
            while piece := kept.read(_CHUNK):
                yield piece

    return read()


class FolderFiles:
    """A file store in a local folder: written beside, flushed, renamed into place."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._arriving = folder / "arriving"
        self._arriving.mkdir(parents=True, exist_ok=True)

    def put(self, content: bytes) -> str:
        """Keep content and return its digest."""
        digest = hashlib.sha256(content).hexdigest()
        if not self._seen(digest):
            arriving = self._new()
            with self._writing(arriving) as file:
                file.write(content)
                self._flush(file)
            self._keep(arriving, digest)
        return digest

    def put_stream(self, stream: BinaryIO) -> tuple[str, int]:
        """Keep what a stream holds, a megabyte at a time."""
        hasher, size = hashlib.sha256(), 0
        arriving = self._new()
        with self._writing(arriving) as file:
            while chunk := stream.read(_CHUNK):
                hasher.update(chunk)
                size += len(chunk)
                file.write(chunk)
            self._flush(file)
        digest = hasher.hexdigest()
        self._keep(arriving, digest)
        return digest, size

    def get(self, digest: str) -> bytes:
        """Return content."""
        return self._place(digest).read_bytes()

    def open(self, digest: str) -> BinaryIO:
        """Return content as a stream."""
        return self._place(digest).open("rb")

    def remove(self, digest: str, *, unless_younger_than: float = 0.0) -> None:
        """Forget content, if it is there and is old enough.

        It is set aside before its age is asked, so that somebody who keeps the
        same content meanwhile either makes it young, and it comes back, or
        finds it gone and writes it anew.
        """
        place, aside = self._place(digest), self._new()
        try:
            place.rename(aside)
        except FileNotFoundError:
            return
        if unless_younger_than and aside.stat().st_mtime > time.time() - unless_younger_than:
            aside.rename(place)
        else:
            aside.unlink()

    def older_than(self, seconds: float, folders: Sequence[str] | None = None) -> Iterator[str]:
        """Yield old digests; what arrived half and was left is removed on the way."""
        line = time.time() - seconds
        for left in self._arriving.iterdir():
            with contextlib.suppress(FileNotFoundError):
                if left.stat().st_mtime < line:
                    left.unlink()
        for name in folders if folders is not None else [f"{number:02x}" for number in range(256)]:
            for file in self._folder.glob(f"{name}/*"):
                with contextlib.suppress(FileNotFoundError):  # somebody else sweeps too
                    if file.stat().st_mtime < line:
                        yield file.name

    def _place(self, digest: str) -> Path:
        if len(digest) != 64 or not set(digest) <= set("0123456789abcdef"):
            raise FileNotFoundError(f"{digest!r} is no digest")
        return self._folder / digest[:2] / digest

    def _seen(self, digest: str) -> bool:
        """Return whether content is there; if so it counts as just used, so that no cleaning takes it away."""
        try:
            os.utime(self._place(digest))
        except FileNotFoundError:
            return False
        return True

    def _new(self) -> Path:
        return self._arriving / secrets.token_hex(8)

    def _writing(self, path: Path) -> _Arrival:
        return _Arrival(path)

    @staticmethod
    def _flush(file: BinaryIO) -> None:
        file.flush()
        os.fsync(file.fileno())

    def _keep(self, arriving: Path, digest: str) -> None:
        place = self._place(digest)
        if not place.parent.is_dir():
            place.parent.mkdir(exist_ok=True)
            _flush_folder(self._folder)
        arriving.rename(place)
        _flush_folder(place.parent)


class _Arrival:
    """An open file that is removed again if writing it fails, so that a full disk is not kept full."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._file: BinaryIO = path.open("xb")

    def __enter__(self) -> BinaryIO:
        return self._file

    def __exit__(self, kind: type[BaseException] | None, *_: object) -> None:
        try:
            self._file.close()
        except OSError:
            self._path.unlink(missing_ok=True)
            raise
        if kind is not None:
            self._path.unlink(missing_ok=True)


def _flush_folder(folder: Path) -> None:
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
