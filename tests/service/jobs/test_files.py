"""Files by the hash of their content."""

import hashlib
import io
import os
import time
from pathlib import Path

import pytest

from service.jobs.bench import Bench
from service.jobs.desk import Desk
from service.jobs.files import FolderFiles, pieces
from service.jobs.memory_store import MemoryStore
from service.jobs.records import Attachment, JobState
from service.jobs.store import JobStore
from service.jobs.sweep import Sweep
from tests.service.jobs.job_builders import a_wish, claimed, question


def test_content_comes_back_by_its_hash(tmp_path: Path) -> None:
    files = FolderFiles(tmp_path)
    digest = files.put(b"openings")
    assert digest == hashlib.sha256(b"openings").hexdigest()
    assert files.get(digest) == b"openings"
    assert files.put_stream(io.BytesIO(b"openings")) == (digest, 8)


def test_nothing_half_written_is_ever_seen(tmp_path: Path) -> None:
    class _Failing(io.BytesIO):
        def read(self, size: int | None = -1) -> bytes:
            raise OSError("the line broke")

    files = FolderFiles(tmp_path)
    with pytest.raises(OSError, match="the line broke"):
        files.put_stream(_Failing())
    assert [path for path in tmp_path.rglob("*") if path.is_file()] == []


@pytest.mark.parametrize("digest", ["", "../../etc/passwd", "AB" * 32, "a" * 63])
def test_a_name_that_is_no_digest_reaches_no_file(tmp_path: Path, digest: str) -> None:
    with pytest.raises(FileNotFoundError):
        FolderFiles(tmp_path).get(digest)


def test_old_files_that_no_job_refers_to_are_swept_away(tmp_path: Path) -> None:
    files, store = FolderFiles(tmp_path), MemoryStore()
    used, loose, young = files.put(b"used"), files.put(b"loose"), files.put(b"young")
    Desk(store).accept(_wish_for(used))
    for digest in (used, loose):
        os.utime(tmp_path / digest[:2] / digest, (0, 0))
    sweep = Sweep(store, files, Bench(store))
    assert sweep.forget_loose_files() == 1
    assert files.get(used) == b"used"
    assert files.get(young) == b"young"
    with pytest.raises(FileNotFoundError):
        files.get(loose)


def test_content_that_is_put_again_counts_as_young(tmp_path: Path) -> None:
    files, store = FolderFiles(tmp_path), MemoryStore()
    digest = files.put(b"again")
    os.utime(tmp_path / digest[:2] / digest, (0, 0))
    files.put(b"again")
    assert Sweep(store, files, Bench(store)).forget_loose_files() == 0


def test_what_is_kept_again_while_it_is_swept_stays(tmp_path: Path) -> None:
    """Found loose, then uploaded again, then swept: the new job's file must be there."""
    files = FolderFiles(tmp_path)
    digest = files.put(b"again")
    os.utime(tmp_path / digest[:2] / digest, (0, 0))
    assert list(files.older_than(3_600)) == [digest]
    files.put(b"again")
    files.remove(digest, unless_younger_than=3_600)
    assert files.get(digest) == b"again"
    assert list((tmp_path / "arriving").iterdir()) == []


def test_a_sweep_looks_at_the_folders_it_is_told(tmp_path: Path) -> None:
    files = FolderFiles(tmp_path)
    digest = files.put(b"loose")
    os.utime(tmp_path / digest[:2] / digest, (0, 0))
    assert list(files.older_than(3_600, ["zz"])) == []
    assert list(files.older_than(3_600, [digest[:2]])) == [digest]


def test_content_can_be_read_as_a_stream(tmp_path: Path) -> None:
    files = FolderFiles(tmp_path)
    with files.open(files.put(b"openings")) as stream:
        assert stream.read(4) == b"open"
    with pytest.raises(FileNotFoundError):
        files.open("ab" * 32)


def test_a_job_that_nobody_answers_is_closed_and_later_forgotten(store: JobStore, tmp_path: Path) -> None:
    desk, bench = Desk(store), Bench(store)
    job = desk.accept(a_wish())
    bench.refused(claimed(bench), (question(),))
    sweep = Sweep(store, FolderFiles(tmp_path), bench, keep_days=30)
    assert sweep.close_unanswered() == 0
    late = Sweep(store, FolderFiles(tmp_path), bench, keep_days=-1)
    assert late.close_unanswered() == 1
    closed = desk.job("shop", job.id)
    assert (closed.state, closed.trouble) == (JobState.CANCELLED, "Nobody answered the open questions.")


def test_jobs_are_forgotten_when_their_keeping_time_is_over(tmp_path: Path) -> None:
    now = time.time()
    store = MemoryStore(clock=lambda: now)
    desk = Desk(store)
    cancelled, waiting = desk.accept(a_wish()), desk.accept(a_wish())
    desk.cancel("shop", cancelled.id)
    sweep = Sweep(store, FolderFiles(tmp_path), Bench(store), keep_days=30)
    assert sweep.forget_old_jobs() == 0
    now += 31 * 86_400
    assert sweep.forget_old_jobs() == 1
    assert [job.id for job in desk.jobs("shop")] == [waiting.id]


def _wish_for(digest: str):  # type: ignore[no-untyped-def]
    from dataclasses import replace

    return replace(a_wish(), upload=Attachment(name="a.xlsx", digest=digest, size=4))


def test_content_can_be_read_from_any_place_without_fetching_it_whole(tmp_path: Path) -> None:
    files = FolderFiles(tmp_path)
    digest = files.put(b"openings and sticks")
    with files.open(digest) as kept:
        kept.seek(13)
        assert kept.read() == b"sticks"


def test_content_comes_in_pieces_of_a_megabyte(tmp_path: Path) -> None:
    files = FolderFiles(tmp_path)
    content = bytes(2_500_000)
    read = list(pieces(files, files.put(content)))
    assert b"".join(read) == content
    assert max(map(len, read)) == 1 << 20


def test_what_is_not_kept_is_missing_at_once(tmp_path: Path) -> None:
    with pytest.raises(FileNotFoundError):
        pieces(FolderFiles(tmp_path), "a" * 64)
