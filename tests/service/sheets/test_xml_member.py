"""XML of workbooks that no spreadsheet program wrote ends in the message for damaged files."""

import pytest

from service.errors import SheetError
from service.sheets.xml_member import parse


@pytest.mark.parametrize("encoding", ["UTF-9", "hex", "shift_jis"])
def test_an_encoding_that_nothing_can_read_is_damage(encoding: str) -> None:
    document = f'<?xml version="1.0" encoding="{encoding}"?><row/>'.encode()
    with pytest.raises(SheetError, match="damaged"):
        parse(iter([document]), lambda name, attributes: None)


def test_other_known_encodings_are_read() -> None:
    seen: list[str] = []
    parse(
        iter(['<?xml version="1.0" encoding="iso-8859-1"?><row>é</row>'.encode("latin-1")]),
        lambda n, a: None,
        text=seen.append,
    )
    assert seen == ["é"]
