"""Real servers for the service's tests, thrown away afterwards."""

import os
import pwd
import shutil
import socket
import subprocess
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlalchemy import create_engine, text

POSTGRESQL = Path("/usr/lib/postgresql")


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@pytest.fixture(scope="session")
def postgresql() -> Iterator[str]:
    """The URL of a database server of this test run alone, from Debian's package, as the user postgres."""
    programs = max(POSTGRESQL.glob("*/bin"), default=None)
    if programs is None:
        if os.environ.get("CI"):
            pytest.fail("Debian's postgresql is not installed")
        pytest.skip("Debian's postgresql is not installed")
    folder = Path(tempfile.mkdtemp(prefix="screenbatch-postgresql-"))
    user = pwd.getpwnam("postgres") if os.getuid() == 0 else pwd.getpwuid(os.getuid())
    os.chown(folder, user.pw_uid, user.pw_gid)
    port = free_port()

    def run(*command: str) -> None:
        subprocess.run(
            command, user=user.pw_uid, group=user.pw_gid, extra_groups=[], cwd=folder, check=True, capture_output=True
        )

    cluster, log = str(folder / "cluster"), str(folder / "log")
    run(str(programs / "initdb"), "-D", cluster, "-U", "screenbatch", "-A", "trust", "-E", "UTF8", "--no-sync")
    options = f"-p {port} -c listen_addresses=127.0.0.1 -c unix_socket_directories={folder} -c max_connections=200"
    run(str(programs / "pg_ctl"), "-D", cluster, "-l", log, "-w", "-o", options, "start")
    try:
        yield f"postgresql+psycopg://screenbatch@127.0.0.1:{port}/postgres"
    finally:
        run(str(programs / "pg_ctl"), "-D", cluster, "-m", "immediate", "stop")
        shutil.rmtree(folder, ignore_errors=True)


@pytest.fixture
def fresh_postgresql(postgresql: str) -> str:
    """The URL of a database server whose tables are gone."""
    engine = create_engine(postgresql)
    with engine.begin() as connection:
        connection.execute(text("DROP SCHEMA public CASCADE"))
        connection.execute(text("CREATE SCHEMA public"))
    engine.dispose()
    return postgresql
