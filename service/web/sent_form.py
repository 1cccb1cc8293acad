"""What came with a form: its texts by name, texts that repeat, and a sheet."""

from __future__ import annotations

from starlette.datastructures import FormData, UploadFile

from service.api.uploads import file_name


def texts(sent: FormData) -> dict[str, str]:
    """Return the texts of a form by name, the last of each name."""
    return {name: value for name, value in sent.items() if isinstance(value, str)}


def repeated(sent: FormData, name: str) -> list[str]:
    """Return every text that was sent under a name."""
    return [value for value in sent.getlist(name) if isinstance(value, str)]


async def sheet_sent(sent: FormData) -> tuple[str, bytes] | None:
    """Return name and content of the sheet that came with a form."""
    file = sent.get("sheet")
    if not isinstance(file, UploadFile) or not file.filename:
        return None
    return file_name(file.filename), await file.read()
