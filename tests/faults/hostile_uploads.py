"""Uploads made to hurt: each job ends with words, health is answered in between, nothing grows without bound.

Run: ``python -m tests.faults.hostile_uploads``
"""

from __future__ import annotations

import argparse
import io
import random
import sys
import tempfile
import zipfile
from collections.abc import Iterator
from pathlib import Path

from tests.faults.storm import report, storm
from tests.faults.watching import watching

_SHEET = (
    '<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>{}</sheetData></worksheet>'
)
_TYPES = (
    '<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">'
    '<Default Extension="xml" ContentType="application/xml"/></Types>'
)


def workbook(**members: bytes | str) -> bytes:
    """A file that is packed like a workbook, with whatever in it."""
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("[Content_Types].xml", _TYPES)
        for name, content in members.items():
            archive.writestr(name.replace("__", "/"), content)
    return packed.getvalue()


def hostile_files(seed: int) -> Iterator[tuple[str, bytes]]:
    """Yield names and contents; the last ones are random."""
    dice = random.Random(seed)
    row = '<row r="{0}"><c r="A{0}" t="inlineStr"><is><t>x</t></is></c></row>'
    entities = '<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa">' + "".join(
        f'<!ENTITY {chr(98 + n)} "{("&" + chr(97 + n) + ";") * 10}">' for n in range(9)
    )
    yield "bomb.xlsx", workbook(xl__worksheets__sheet1_xml=b"\0" * (300 << 20))
    yield (
        "rows.xlsx",
        workbook(**{"xl__worksheets__sheet1.xml": _SHEET.format("".join(map(row.format, range(1, 300_000))))}),
    )
    yield "entities.xlsx", workbook(**{"xl__worksheets__sheet1.xml": f"{entities}]><x>&j;</x>"})
    yield (
        "corner.xlsx",
        workbook(**{"xl__worksheets__sheet1.xml": _SHEET.format('<row r="1048576"><c r="XFD1048576"/></row>')}),
    )
    yield "locked.xlsx", bytes.fromhex("d0cf11e0a1b11ae1") + b"\0" * 4_096
    yield "short.xlsx", workbook(**{"xl__workbook.xml": "<workbook/>"})[:-40]
    yield "page.xlsx", b"<html><table><tr><td>label</td></tr></table></html>"
    yield "wide.csv", b"," * 5_000_000
    yield "long.csv", b"label,width,height\n" + b"A" * 20_000_000
    yield "quotes.csv", b'"' * 3_000_000
    yield "blank.csv", b"label,width,height\n" + b"\n" * 10_000_000
    yield "nul.csv", b"label,width,height\n\0,\0,\0\n"
    yield "deep.json", b'{"sheets":' + b"[" * 2_000_000
    yield "wide.json", b'{"sheets":{"openings":[' + b"{}," * 2_000_000 + b"{}]}}"
    yield "huge.json", b'{"sheets":{"openings":[{"label":"A","width":1' + b"0" * 1_000_000 + b',"height":1e400}]}}'
    yield "empty.csv", b""
    for number in range(20):
        head = dice.choice(
            [b"", b"PK\x03\x04", bytes.fromhex("d0cf11e0a1b11ae1"), b"label,width,height\n", b'{"sheets":']
        )
        suffix = dice.choice(["xlsx", "xls", "ods", "csv", "json", "exe"])
        yield f"random{number}.{suffix}", head + dice.randbytes(dice.randrange(100_000))


def hostile_uploads(folder: Path, *, seed: int) -> tuple[dict[str, object], list[str]]:
    """Return the figures and what was not as promised."""
    wrong: list[str] = []
    files = 0
    with storm(folder, seed, services=1) as raging:
        service = raging.services[0]
        with watching(service) as watched:
            for name, content in hostile_files(seed):
                files += 1
                answer = service.hand_in(content, name=name, settings='{"unit": "in"}')
                if answer.status_code == 413:
                    continue
                if answer.status_code != 202:
                    wrong.append(f"{name}: answered {answer.status_code}")
                    continue
                ended = service.await_end(answer.json()["id"], seconds=120)
                said = [problem["message"] for problem in ended["problems"]] or [ended["trouble"]]
                if ended["state"] not in {"failed", "waiting"} or not any(said):
                    wrong.append(f"{name}: {ended['state']} without a word")
                if "service's own fault" in ended["trouble"]:
                    wrong.append(f"{name}: {ended['trouble']}")
        wrong += raging.stop()
    return {"files": files, **watched.figures()}, wrong


def main() -> int:
    """Upload as the command line says."""
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("--seed", type=int, default=1)
    given = words.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        counts, wrong = hostile_uploads(Path(folder), seed=given.seed)
    return report("hostile uploads", counts, wrong)


if __name__ == "__main__":
    sys.exit(main())
