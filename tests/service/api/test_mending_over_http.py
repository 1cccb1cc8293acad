"""A faulty file comes back marked over HTTP, and a mapping given once is used again."""

import io
import json
from collections.abc import Iterator

import openpyxl
import pytest

from tests.service.running_service import RunningService, running_service

pytestmark = pytest.mark.slow
FOREIGN = b"kenn,x1,x2\nA,27 5/8,40\n"
WORDS = json.dumps({"columns": {"label": "kenn", "width": "x1", "height": "x2"}})


@pytest.fixture(scope="module")
def service(tmp_path_factory: pytest.TempPathFactory) -> Iterator[RunningService]:
    with running_service(tmp_path_factory.mktemp("service") / "data") as service:
        yield service


def test_a_faulty_file_comes_back_with_its_faults_marked(service: RunningService) -> None:
    job = service.hand_in(b"label,width (in),height (in)\nA,TBD,40\n").json()["id"]
    assert service.await_end(job, "failed", "done", "waiting")["state"] == "failed"
    answer = service.client.get(f"/jobs/{job}/checked.xlsx")
    assert answer.status_code == 200
    sheet = openpyxl.load_workbook(io.BytesIO(answer.content))["openings"]
    assert sheet["E2"].value == "B2: TBD is no length; write one such as 27 5/8"


def test_a_mapping_given_once_is_used_for_the_next_file_of_its_shape(service: RunningService) -> None:
    first = service.hand_in(FOREIGN, settings=WORDS).json()["id"]
    assert service.await_end(first, "failed", "done", "waiting")["state"] == "done"
    second = service.hand_in(FOREIGN.replace(b"A,27", b"B,30")).json()["id"]
    done = service.await_end(second, "failed", "done", "waiting")
    assert done["state"] == "done"
