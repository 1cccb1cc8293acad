"""A throw-away PostgreSQL server: ``with ThrowawayPostgresql() as server``."""

from __future__ import annotations

import contextlib
import os
import pwd
import shutil
import socket
import subprocess
import tempfile
from pathlib import Path

POSTGRESQL = Path("/usr/lib/postgresql")


def free_port() -> int:
    """Return a port on loopback that nobody listens on just now."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


class ThrowawayPostgresql:
    """A server of Debian's package on loopback, stopped and started at will."""

    def __init__(self) -> None:
        self.folder = Path(tempfile.mkdtemp(prefix="screenbatch-postgresql-"))
        self.port = free_port()
        self._user = pwd.getpwnam("postgres") if os.getuid() == 0 else pwd.getpwuid(os.getuid())
        os.chown(self.folder, self._user.pw_uid, self._user.pw_gid)
        self._programs = max(POSTGRESQL.glob("*/bin"))
        self._run("initdb", "-D", str(self.folder / "cluster"), "-U", "screenbatch", "-A", "trust", "-E", "UTF8")

    @property
    def url(self) -> str:
        """The database URL."""
        return f"postgresql+psycopg://screenbatch@127.0.0.1:{self.port}/postgres"

    def start(self) -> None:
        """Start the server."""
        options = f"-p {self.port} -c listen_addresses=127.0.0.1 -c unix_socket_directories={self.folder}"
        more = " -c max_connections=300"
        cluster, log = str(self.folder / "cluster"), str(self.folder / "log")
        self._run("pg_ctl", "-D", cluster, "-l", log, "-w", "-o", options + more, "start")

    def stop(self, mode: str = "immediate") -> None:
        """Stop the server; ``immediate`` as in a crash."""
        self._run("pg_ctl", "-D", str(self.folder / "cluster"), "-m", mode, "stop")

    def dump(self, to: Path) -> None:
        """Write a dump of the database."""
        connection = ["-h", "127.0.0.1", "-p", str(self.port), "-U", "screenbatch"]
        done = self._run("pg_dump", *connection, "--format=custom", "postgres")
        to.write_bytes(done.stdout)

    def restore(self, dump: Path, database: str) -> str:
        """Restore a dump into a new database and return its URL."""
        connection = ["-h", "127.0.0.1", "-p", str(self.port), "-U", "screenbatch"]
        self._run("createdb", *connection, database)
        copied = self.folder / "dump"
        copied.write_bytes(dump.read_bytes())
        os.chown(copied, self._user.pw_uid, self._user.pw_gid)
        self._run("pg_restore", *connection, "--dbname", database, "--no-owner", str(copied))
        return self.url.removesuffix("postgres") + database

    def __enter__(self) -> ThrowawayPostgresql:
        self.start()
        return self

    def __exit__(self, *_: object) -> None:
        with contextlib.suppress(subprocess.CalledProcessError):
            self.stop()
        shutil.rmtree(self.folder, ignore_errors=True)

    def _run(self, program: str, *arguments: str) -> subprocess.CompletedProcess[bytes]:
        user = {"user": self._user.pw_uid, "group": self._user.pw_gid, "extra_groups": []}
        command = [str(self._programs / program), *arguments]
        return subprocess.run(command, cwd=self.folder, check=True, capture_output=True, **user)  # type: ignore[call-overload, no-any-return]
