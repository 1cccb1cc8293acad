"""The styles of a workbook with more fills: a cell marked as faulty keeps everything else of its look."""

from __future__ import annotations

from service.errors import SheetError
from service.sheets.findings import Verdict
from service.sheets.splice import Edit, edited, elements, prefix_of, with_attribute
from service.sheets.xml_member import DAMAGED

_FILLS = {Verdict.ERROR: "FFF4B6B6", Verdict.QUESTION: "FFFFE08A"}


class MarkedStyles:
    """Hands out style numbers for marked cells and writes the styles that stand behind them."""

    def __init__(self, content: bytes) -> None:
        self._content = content
        found = elements(content, ("fills", "cellXfs", "xf"))
        fills = [each for each in found if each.tag.name.endswith("fills")]
        blocks = [each for each in found if each.tag.name.endswith("cellXfs")]
        if len(fills) != 1 or len(blocks) != 1:
            raise SheetError(DAMAGED)
        self._fills, self._block = fills[0], blocks[0]
        inside = range(self._block.tag.start, self._block.close)
        self._xfs = [each for each in found if each.tag.name.endswith("xf") and each.tag.start in inside]
        self._fill_count = int(self._fills.tag.attributes.get("count", "0"))
        self._made: dict[tuple[int, Verdict], int] = {}
        self._new: list[bytes] = []

    def marked(self, style: int, verdict: Verdict) -> int:
        """Return the number of a style that looks like another, filled for a verdict."""
        key = (style, verdict)
        if key not in self._made:
            self._made[key] = len(self._xfs) + len(self._new)
            self._new.append(self._clone(style, verdict))
        return self._made[key]

    def content(self) -> bytes:
        """Return the styles with everything handed out."""
        prefix = prefix_of(self._fills.tag)
        fills = "".join(
            f'<{prefix}fill><{prefix}patternFill patternType="solid"><{prefix}fgColor rgb="{colour}"/>'
            f'<{prefix}bgColor indexed="64"/></{prefix}patternFill></{prefix}fill>'
            for colour in _FILLS.values()
        )
        return edited(
            self._content,
            [
                self._counted(self._fills.tag.start, self._fills.tag.end, self._fill_count + len(_FILLS)),
                Edit(self._fills.close, 0, fills.encode()),
                self._counted(self._block.tag.start, self._block.tag.end, len(self._xfs) + len(self._new)),
                Edit(self._block.close, 0, b"".join(self._new)),
            ],
        )

    def _clone(self, style: int, verdict: Verdict) -> bytes:
        element = self._xfs[style if style < len(self._xfs) else 0]
        tag = self._content[element.tag.start : element.tag.end]
        fill = self._fill_count + list(_FILLS).index(verdict)
        changed = with_attribute(with_attribute(tag, "fillId", str(fill)), "applyFill", "1")
        if element.tag.empty:
            return changed
        inner = self._content[element.tag.end : element.close]
        return changed + inner + f"</{element.tag.name}>".encode()

    def _counted(self, start: int, end: int, count: int) -> Edit:
        return Edit(start, end - start, with_attribute(self._content[start:end], "count", str(count)))
