"""Files in an object store: on this machine's disk always, over S3 where a server for it is installed."""

import io
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from urllib.request import urlopen

import pytest

from service.jobs.object_files import ObjectFiles
from tests.service.throwaway import free_port

MOTO = Path(sys.executable).parent / "moto_server"
"""An open-source server that speaks S3 (Apache-2.0): pip install 'moto[server]' s3fs; no dependency of the tests."""


@pytest.fixture(params=["file", "s3"])
def files(request: pytest.FixtureRequest, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[ObjectFiles]:
    if request.param == "file":
        yield ObjectFiles(f"file://{tmp_path}/objects")
        return
    if shutil.which(MOTO) is None:
        pytest.skip("moto_server is not installed on this machine")
    pytest.importorskip("s3fs").S3FileSystem.clear_instance_cache()
    port = free_port()
    for name, value in (
        ("AWS_ACCESS_KEY_ID", "testing"),
        ("AWS_SECRET_ACCESS_KEY", "testing"),
        ("AWS_ENDPOINT_URL", f"http://127.0.0.1:{port}"),
        ("AWS_DEFAULT_REGION", "us-east-1"),
    ):
        monkeypatch.setenv(name, value)
    server = subprocess.Popen([MOTO, "-H", "127.0.0.1", "-p", str(port)], stderr=subprocess.DEVNULL)
    try:
        _await(port)
        opened = ObjectFiles("s3://screens/jobs")
        opened._store.mkdir("screens")
        yield opened
    finally:
        server.terminate()
        server.wait()


def _await(port: int) -> None:
    end = time.monotonic() + 30
    while True:
        try:
            urlopen(f"http://127.0.0.1:{port}/moto-api/data.json").close()
        except OSError:
            assert time.monotonic() < end
            time.sleep(0.1)
        else:
            return


def test_what_is_kept_comes_back_is_listed_and_is_forgotten(files: ObjectFiles) -> None:
    digest = files.put(b"openings")
    assert files.put_stream(io.BytesIO(b"openings")) == (digest, 8)
    assert files.get(digest) == b"openings"
    with files.open(digest) as stream:
        assert stream.read(4) == b"open"
    assert list(files.older_than(-60)) == [digest]
    assert list(files.older_than(-60, [digest[:2]])) == [digest]
    assert list(files.older_than(-60, ["zz"])) == []
    assert list(files.older_than(3_600)) == []
    files.remove(digest, unless_younger_than=3_600)
    assert files.get(digest) == b"openings", "it is young"
    files.remove(digest)
    files.remove(digest)
    with pytest.raises(FileNotFoundError):
        files.get(digest)
    with pytest.raises(FileNotFoundError):
        files.open(digest)


def test_a_large_file_comes_back_whole(files: ObjectFiles) -> None:
    content = bytes(range(256)) * 100_000
    digest, size = files.put_stream(io.BytesIO(content))
    assert size == len(content)
    assert files.get(digest) == content


def test_an_object_store_that_is_gone_is_an_outage() -> None:
    class _Gone:
        def __getattr__(self, name: str):  # type: ignore[no-untyped-def]
            raise RuntimeError("endpoint")

    files = ObjectFiles("memory://jobs")
    files._store = _Gone()
    for ask in (lambda: files.get("ab" * 32), lambda: files.put(b"x"), lambda: files.open("ab" * 32)):
        with pytest.raises(OSError, match="the object store does not answer"):
            ask()
