"""A job as JSON: the same sheets and headings as the workbook, rows as objects."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from pydantic import BaseModel, ConfigDict, Field, ValidationError
from pydantic.config import JsonDict

from service.errors import SheetError
from service.job_settings import JobSettings
from service.sheets.cells import Table, Value
from service.sheets.columns import Kind
from service.sheets.findings import JobReading
from service.sheets.opening_columns import OPENINGS
from service.sheets.read import read_job_tables
from service.sheets.sheet_roles import STOCK

Cell = str | int | float | bool | None
Row = dict[str, Cell]

_MOST_ROWS = 250_000
_EXAMPLE: JsonDict = {
    "settings": {"unit": "in", "name": "Block A"},
    "sheets": {
        "openings": [
            {"label": "A-101", "width": "33 1/4", "height": "47 3/8", "quantity": 2},
            {"label": "A-102", "width": 30, "height": 40.5},
        ],
        "rules": [{"rule": "kerf", "value": "3/32 in"}],
    },
}


class JobDocument(BaseModel):
    """A job as JSON. A sheet is a list of rows, a row maps headings to cells as they would stand in the workbook.

    Findings name cells as in a workbook: the headings are row 1, in the order
    in which they first appear.
    """

    model_config = ConfigDict(extra="forbid", json_schema_extra={"example": _EXAMPLE})

    settings: JobSettings = Field(default_factory=JobSettings)
    sheets: dict[str, list[Row]] = Field(min_length=1, max_length=200)


def read_json_job(path: Path, settings: JobSettings) -> JobReading:
    """Return a JSON job as understood; what the caller says goes before the settings in the file.

    Raises
    ------
    SheetError
        If the file is no JSON or not of the stated shape.
    """
    try:
        document = JobDocument.model_validate_json(path.read_bytes(), strict=True)
    except ValidationError as error:
        faults = error.errors(include_url=False, include_input=False)[:10]
        wrong = "; ".join(f"{'.'.join(str(step) for step in fault['loc'])}: {fault['msg']}" for fault in faults)
        raise SheetError(f"this JSON is no job: {wrong}") from error
    said = settings.model_dump(exclude_defaults=True)
    together = JobSettings.model_validate(document.settings.model_dump(exclude_defaults=True) | said)
    if sum(len(rows) for rows in document.sheets.values()) > _MOST_ROWS:
        raise SheetError(f"more than {_MOST_ROWS} rows; split the job into smaller ones")
    tables = [_table(name, rows) for name, rows in document.sheets.items()]
    return read_job_tables(tables, together, name=together.name or "job")


def job_schema() -> dict[str, Any]:
    """Return the JSON Schema of a job, with the headings that each sheet knows."""
    schema = JobDocument.model_json_schema()
    sheets = schema["properties"]["sheets"]
    sheets["properties"] = {kind.name: _sheet_schema(kind) for kind in (OPENINGS, *STOCK)}
    sheets["description"] = "Sheets by name; only openings is needed. Other headings of the same meaning are known too."
    schema["$id"] = "urn:screenbatch:schema:job"
    return schema


def _sheet_schema(kind: Kind) -> dict[str, Any]:
    columns = {column.word: {"description": column.note} for column in kind.columns}
    return {"type": "array", "description": kind.note, "items": {"type": "object", "properties": columns}}


def _table(name: str, rows: list[Row]) -> Table:
    headings = list(dict.fromkeys(heading for row in rows for heading in row))
    numbered: list[tuple[int, list[Value]]] = [(1, list(headings))]
    for number, row in enumerate(rows, 2):
        values: list[Value] = [_value(row.get(heading)) for heading in headings]
        while values and values[-1] is None:
            values.pop()
        if values:
            numbered.append((number, values))
    return Table(name=name, rows=numbered)


def _value(cell: Cell) -> Value:
    if isinstance(cell, str):
        return cell.strip() or None
    return float(cell) if isinstance(cell, int) and not isinstance(cell, bool) else cell
