"""Settings of the service: command line before environment before file."""

from pathlib import Path

import pytest
from click.testing import CliRunner

from service.cli import screenbatch
from service.errors import SettingsError
from service.settings import ServiceSettings, load


def test_the_command_line_goes_before_the_environment_and_that_before_the_file(tmp_path: Path) -> None:
    file = tmp_path / "service.toml"
    file.write_text('port = 1\nslots = 1\nupload_mb = 1\nhost = "::1"\n')
    environment = {"SCREENBATCH_SETTINGS": str(file), "SCREENBATCH_PORT": "2", "SCREENBATCH_SLOTS": "2"}
    settings = load({"port": 3, "slots": None}, environment)
    assert (settings.port, settings.slots, settings.upload_mb, settings.host) == (3, 2, 1, "::1")


def test_without_anything_said_the_service_keeps_to_this_machine() -> None:
    settings = load({}, {})
    assert settings == ServiceSettings()
    assert settings.host == "127.0.0.1"
    assert settings.database_url == f"sqlite:///{Path('screenbatch-data/jobs.sqlite3').resolve()}"


@pytest.mark.parametrize(
    ("environment", "named"),
    [
        ({"SCREENBATCH_PORT": "many"}, "port"),
        ({"SCREENBATCH_PORT": "70000"}, "port"),
        ({"SCREENBATCH_LOG": "loud"}, "log"),
        ({"SCREENBATCH_SETTINGS": "/no/such/file"}, "/no/such/file"),
    ],
)
def test_a_setting_that_makes_no_sense_is_named(environment: dict[str, str], named: str) -> None:
    with pytest.raises(SettingsError, match=named):
        load({}, environment)


def test_an_unknown_setting_in_a_file_is_named(tmp_path: Path) -> None:
    file = tmp_path / "service.toml"
    file.write_text("prot = 8000\n")
    with pytest.raises(SettingsError, match="prot"):
        load({}, {"SCREENBATCH_SETTINGS": str(file)})


def test_the_effective_settings_are_shown_without_the_password() -> None:
    url = "postgresql+psycopg://me:secret@db/jobs"
    shown = CliRunner().invoke(screenbatch, ["settings", "--database", url]).output
    assert "SCREENBATCH_DATABASE=postgresql+psycopg://me:***@db/jobs" in shown
    assert "secret" not in shown
    assert all(f"SCREENBATCH_{name.upper()}=" in shown for name in ServiceSettings.model_fields)
