"""The image's recipe, read as it stands; no container engine is needed for that."""

from pathlib import Path

ROOT = Path(__file__).parents[2]
DOCKERFILE = ROOT / "docker" / "Dockerfile"


def instructions() -> list[tuple[str, str]]:
    """The recipe's instructions with their continued lines joined."""
    joined = DOCKERFILE.read_text().replace("\\\n", " ")
    lines = [line.strip() for line in joined.splitlines() if line.strip() and not line.startswith("#")]
    return [(line.partition(" ")[0], " ".join(line.partition(" ")[2].split())) for line in lines]


def test_the_recipe_holds_known_instructions_alone() -> None:
    known = {"FROM", "WORKDIR", "COPY", "RUN", "ENV", "USER", "VOLUME", "EXPOSE", "STOPSIGNAL", "HEALTHCHECK"}
    assert {word for word, _ in instructions()} <= known | {"ENTRYPOINT", "CMD"}


def test_every_image_named_has_a_version() -> None:
    images = [said.partition(" ")[0] for word, said in instructions() if word == "FROM"]
    assert images
    assert all(":" in image and not image.endswith(":latest") for image in images)


def test_what_is_copied_is_there_and_nothing_is_fetched_from_elsewhere() -> None:
    for word, said in instructions():
        if word == "COPY" and not said.startswith("--from"):
            assert all((ROOT / source).exists() for source in said.split()[:-1]), said
        if word == "RUN":
            assert "curl" not in said
            assert "apt" not in said
            assert "--no-cache-dir" in said or "pip" not in said


def test_the_service_runs_as_nobody_special_and_says_how_it_is() -> None:
    final = DOCKERFILE.read_text().rpartition("FROM ")[2]
    assert "USER 10001:10001" in final
    assert "HEALTHCHECK" in final
    assert "/health/ready" in final


def test_the_image_gets_the_versions_that_were_tested() -> None:
    installs = [line for line in DOCKERFILE.read_text().splitlines() if "pip install" in line]
    assert installs
    assert all("--constraint constraints.txt" in line for line in installs)


def test_the_build_sees_only_what_it_needs() -> None:
    lines = (ROOT / ".dockerignore").read_text().splitlines()
    assert lines[1] == "*"
    assert {line[1:] for line in lines if line.startswith("!")} == {
        "README.md",
        "pyproject.toml",
        "docker/constraints.txt",
        "service",
        "solver",
    }
