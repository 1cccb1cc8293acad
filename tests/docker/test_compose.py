"""The cluster's recipe: what it must hold, read as plain YAML; no container engine is needed for that."""

import re
import shlex
from pathlib import Path
from typing import Any

import yaml

from service.settings import ServiceSettings

COMPOSE = Path(__file__).parents[2] / "docker" / "compose.yaml"


def recipe() -> dict[str, Any]:
    loaded: dict[str, Any] = yaml.safe_load(COMPOSE.read_text())
    return loaded


def test_the_cluster_has_everything_it_needs() -> None:
    assert set(recipe()["services"]) == {"api", "postgresql", "proxy", "scheduler", "worker"}


def test_database_scheduler_and_workers_cannot_be_reached_from_outside() -> None:
    services = recipe()["services"]
    assert recipe()["networks"]["inside"] == {"internal": True}
    for name in ("postgresql", "scheduler", "worker"):
        assert services[name]["networks"] == ["inside"]
        assert "ports" not in services[name]
    assert services["proxy"]["ports"] == ["127.0.0.1:8080:8080"]


def test_our_containers_cannot_change_themselves_or_gain_rights() -> None:
    for name in ("api", "scheduler", "worker"):
        service = recipe()["services"][name]
        assert service["read_only"] is True
        assert service["cap_drop"] == ["ALL"]
        assert service["security_opt"] == ["no-new-privileges:true"]


def test_no_secret_stands_in_the_recipe() -> None:
    assert re.findall(r"PASSWORD: (?!\$\{)", COMPOSE.read_text()) == []


def test_every_setting_it_names_exists() -> None:
    named = {
        name.removeprefix("SCREENBATCH_").lower()
        for name in recipe()["services"]["api"]["environment"]
        if name.startswith("SCREENBATCH_")
    }
    assert named <= set(ServiceSettings.model_fields)


def test_the_workers_command_line_is_understood() -> None:
    from click.testing import CliRunner
    from distributed.cli.dask_worker import main as worker

    service = recipe()["services"]["worker"]
    words = [*service["entrypoint"], *service["command"]]
    known = CliRunner().invoke(worker, ["--help"]).output
    flags = [word for word in shlex.split(" ".join(words)) if word.startswith("--")]
    assert [flag for flag in flags if flag.replace("--no-dashboard", "--dashboard") not in known] == []
