"""Styles of an OpenDocument table: which number format writes a unit, which sheets are hidden.

References
----------
OASIS OpenDocument 1.3, part 3: 16.29 number:number-style, 17.15 style:table-properties.
"""

from __future__ import annotations

from service.sheets.formats import Family, number_format


class OdsStyles:
    """Collects styles while the document is read; they stand before the sheets."""

    def __init__(self) -> None:
        self.hidden_tables: set[str] = set()
        self._units: dict[str, str] = {}
        self._numbers: dict[str, str] = {}
        self._style = ""
        self._number = ""
        self._text: list[str] = []
        self._reading = False

    def unit(self, cell_style: str) -> str:
        """Return the unit that a cell style writes behind its numbers, or an empty text."""
        return self._units.get(self._numbers.get(cell_style, ""), "")

    def start(self, name: str, attributes: dict[str, str]) -> None:
        """Take note of an opening tag."""
        match name:
            case "style":
                self._style = attributes.get("name", "")
                if "data-style-name" in attributes:
                    self._numbers[self._style] = attributes["data-style-name"]
            case "table-properties" if attributes.get("display") == "false":
                self.hidden_tables.add(self._style)
            case "number-style":
                self._number = attributes.get("name", "")
                self._text.clear()
            case "text" if self._number:
                self._reading = True

    def text(self, text: str) -> None:
        """Take note of a text."""
        if self._reading and len(self._text) < 10:
            self._text.append(text[:20])

    def end(self, name: str) -> None:
        """Take note of a closing tag."""
        if name == "text":
            self._reading = False
        elif name == "number-style":
            how = number_format('0"' + "".join(self._text).strip().replace('"', "''") + '"')
            if how.family is Family.SHOWN:
                self._units[self._number] = how.unit
            self._number = ""
