"""Tables as people make them: title rows, two-row headings, split columns, totals, hidden rows, phases as sheets."""

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from service.sheets.findings import JobReading
from solver.lengths import Ticks, inches, mm
from solver.openings import Datum
from tests.service.sheets.sheet_makers import csv_file, finding, read, serious, workbook

SIZE = (inches(27, 5, 8), inches(41, 1, 2))


def sizes(reading: JobReading) -> list[tuple[Ticks, Ticks]]:
    return [(opening.widths[0], opening.heights[0]) for opening in reading.openings]


def notices(reading: JobReading) -> list[str]:
    return [f"{each.address}: {each.message}" for each in reading.findings if each.verdict.value == "notice"]


def table(folder: Path, rows: Sequence[Sequence[Any]], **settings: Any) -> JobReading:
    return read(workbook(folder, {"Sheet1": rows}), **settings)


@pytest.mark.parametrize(
    "headings",
    [
        ("Mark", "W (in)", "H (in)"),
        ("Window ID", "Opening width [in]", "Opening height [in]"),
        ("No.", "Width, in", "Height, in"),
        ("tag", "WIDTH (INCHES)", "HEIGHT (INCHES)"),
        ("Opening", "width_in", "height_in"),
        ("#", 'Width "', 'Height "'),
    ],
)
def test_headings_are_matched_by_their_usual_words_and_units(tmp_path: Path, headings: tuple[str, ...]) -> None:
    reading = table(tmp_path, [headings, ("K1", 27.625, 41.5)])
    assert serious(reading) == []
    assert (reading.openings[0].label, sizes(reading)) == ("K1", [SIZE])


def test_the_heading_is_found_under_title_rows_and_rows_keep_their_numbers(tmp_path: Path) -> None:
    reading = table(
        tmp_path, [("Block A", None, "survey"), (), ("mark", "width (in)", "height (in)"), (), ("K1", 0, 41.5)]
    )
    assert [each.cell for each in reading.findings if each.verdict.value == "error"] == ["B5"]


def test_two_heading_rows_are_read_as_one(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    sheet = book.worksheets[0]
    above = ("Mark", "Width (in)", None, None, "Height (in)", None)
    for row in (above, (None, "top", "mid", "bottom", "left", "right"), ("K1", 27.625, 27.5, 27.75, 41.5, 41.625)):
        sheet.append(row)
    sheet.merge_cells("B1:D1")
    sheet.merge_cells("E1:F1")
    path = tmp_path / "two_rows.xlsx"
    book.save(path)
    reading = read(path)
    assert serious(reading) == []
    assert reading.openings[0].widths == (inches(27, 5, 8), inches(27, 1, 2), inches(27, 3, 4))
    assert reading.openings[0].heights == (inches(41, 1, 2), inches(41, 5, 8))


@pytest.mark.parametrize(
    ("headings", "row"),
    [
        (("mark", "width", "fraction", "height", "fraction"), ("K1", 27, "5/8", 41, "1/2")),
        (("mark", "width", "16ths", "height", "8ths"), ("K1", 27, 10, 41, 4)),
        (("mark", "width", None, "height", None), ("K1", 27, "5/8", 41, "1/2")),
        (("mark", "width", None, "height", None), ("K1", "27", 0.625, "41", 0.5)),
        (("mark", "width (in)", "width fraction", "height (in)", "height fraction"), ("K1", 27, "⅝", 41, "½")),
    ],
)
def test_whole_inches_and_fraction_in_two_columns_are_one_size(
    tmp_path: Path, headings: tuple[str, ...], row: tuple[Any, ...]
) -> None:
    reading = table(tmp_path, [headings, row], unit="in")
    assert serious(reading) == []
    assert sizes(reading) == [SIZE]


def test_a_blank_fraction_is_none(tmp_path: Path) -> None:
    rows = [("mark", "width", "fraction", "height", "fraction"), ("K1", 27, "5/8", 41, "1/2"), ("K2", 30, None, 40, 0)]
    assert sizes(table(tmp_path, rows, unit="in"))[1] == (inches(30), inches(40))


def test_a_fraction_that_became_a_date_is_asked_about_in_its_own_column(tmp_path: Path) -> None:
    reading = read(csv_file(tmp_path, "mark,width (in),fraction,height (in)\nK1,27,8-Mar,41 1/2\n"))
    assert (finding(reading, "C2").kind, finding(reading, "C2").proposal) == ("date", "3/8")


def test_sixteenths_without_a_heading_are_asked_about(tmp_path: Path) -> None:
    rows = [("mark", "width", None, "height"), ("K1", 27, 10, 41.5), ("K2", 27, 12, 41.5)]
    found = finding(table(tmp_path, rows, unit="in"), "C1")
    assert (found.verdict.value, found.proposal) == ("question", "16ths")
    assert sizes(table(tmp_path, rows, unit="in", answers={"Sheet1!C1": "16ths"}))[0] == SIZE


def test_a_fraction_on_both_sides_is_refused(tmp_path: Path) -> None:
    reading = table(tmp_path, [("mark", "width", "fraction", "height"), ("K1", 27.5, "5/8", 41.5)], unit="in")
    assert finding(reading, "B2").message == "a fraction stands here and in the next column; write it in one of them"


def test_width_and_height_in_one_column_need_their_order_stated(tmp_path: Path) -> None:
    rows = [("mark", "size (w x h)"), ("K1", "27 5/8 x 41 1/2")]
    assert sizes(table(tmp_path, rows, unit="in")) == [SIZE]
    turned = [("mark", "h x w"), ("K1", "41 1/2 x 27 5/8")]
    assert sizes(table(tmp_path, turned, unit="in")) == [SIZE]


def test_a_column_of_sizes_without_their_order_is_asked_about(tmp_path: Path) -> None:
    rows = [("mark", "size"), ("K1", "27 5/8 x 41 1/2")]
    found = finding(table(tmp_path, rows, unit="in"), "B1")
    assert (found.verdict.value, found.proposal) == ("question", "size (width x height)")
    assert sizes(table(tmp_path, rows, accept_proposals=True)) == [SIZE]


def test_totals_repeated_headings_and_titles_are_skipped_and_said(tmp_path: Path) -> None:
    heading = ("mark", "width (in)", "height (in)")
    rows = [heading, ("Building A",), ("K1", 27.625, 41.5), heading, ("K2", 30, 40), ("Total", 57.625, None)]
    reading = table(tmp_path, rows)
    assert [opening.label for opening in reading.openings] == ["K1", "K2"]
    assert notices(reading) == [
        "Sheet1!2: a title: building Building A, for the rows below that give none of their own",
        "Sheet1!4: skipped: the headings again",
        "Sheet1!6: skipped: a row of totals (Total)",
    ]


def test_a_label_without_sizes_is_no_title_but_a_row_to_mend(tmp_path: Path) -> None:
    reading = table(tmp_path, [("mark", "width (in)", "height (in)"), ("K1", 27.625, 41.5), ("K2",)])
    assert serious(reading) == [
        "Sheet1!B3 error: the width is missing; write the width, or delete the row",
        "Sheet1!C3 error: the height is missing; write the height, or delete the row",
    ]


def test_merged_names_count_for_every_row_but_sizes_do_not(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    sheet = book.worksheets[0]
    for row in (("unit", "mark", "width (in)", "height (in)"), ("301", "K1", 27.625, 41.5), (None, "K2", None, 40)):
        sheet.append(row)
    sheet.merge_cells("A2:A3")
    sheet.merge_cells("C2:C3")
    path = tmp_path / "merged.xlsx"
    book.save(path)
    reading = read(path)
    assert serious(reading) == ["Sheet!C3 error: the width is missing; write the width, or delete the row"]
    assert serious(read(path, answers={"Sheet!C3": "30"})) == []
    assert [opening.unit for opening in read(path, answers={"Sheet!C3": "30"}).openings] == ["301", "301"]


def test_ditto_repeats_names_and_is_asked_about_for_sizes(tmp_path: Path) -> None:
    rows = [("unit", "mark", "width (in)", "height (in)"), ("301", "K1", 27.625, 41.5), ('"', "K2", '"', 40)]
    reading = table(tmp_path, rows)
    assert finding(reading, "C3").proposal == "27.625"
    accepted = table(tmp_path, rows, accept_proposals=True)
    assert [(each.unit, each.widths[0]) for each in accepted.openings] == [("301", SIZE[0]), ("301", SIZE[0])]


def test_hidden_rows_are_asked_about(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    sheet = book.worksheets[0]
    for row in (("mark", "width (in)", "height (in)"), ("K1", 27.625, 41.5), ("K2", 30, 40), ("K3", 31, 40)):
        sheet.append(row)
    sheet.row_dimensions[3].hidden = True
    path = tmp_path / "hidden.xlsx"
    book.save(path)
    found = finding(read(path), "3")
    assert found.message == "1 row is hidden (3), by a filter or by hand; write read to plan them too, or skip"
    assert [each.label for each in read(path, answers={"Sheet!3": "skip"}).openings] == ["K1", "K3"]
    assert [each.label for each in read(path, answers={"Sheet!3": "read"}).openings] == ["K1", "K2", "K3"]


def test_a_hidden_column_that_matters_is_asked_about(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    sheet = book.worksheets[0]
    for row in (("mark", "width (in)", "width 2 (in)", "height (in)"), ("K1", 27.625, 27.5, 41.5)):
        sheet.append(row)
    sheet.column_dimensions["C"].hidden = True
    path = tmp_path / "hidden.xlsx"
    book.save(path)
    assert finding(read(path), "C1").kind == "hidden columns"
    assert read(path, answers={"Sheet!C1": "read"}).openings[0].widths == (inches(27, 5, 8), inches(27, 1, 2))
    assert read(path, answers={"Sheet!C1": "skip"}).openings[0].widths == (inches(27, 5, 8),)


def test_phases_as_sheets_are_read_together(tmp_path: Path) -> None:
    heading = ("mark", "width (in)", "height (in)")
    path = workbook(tmp_path, {"Phase 1": [heading, ("K1", 27.625, 41.5)], "Phase 2": [heading, ("K2", 30, 40)]})
    reading = read(path)
    assert serious(reading) == []
    assert [(each.label, each.phase) for each in reading.openings] == [("K1", "Phase 1"), ("K2", "Phase 2")]


def test_a_second_list_of_openings_is_asked_about(tmp_path: Path) -> None:
    heading = ("mark", "width (in)", "height (in)")
    sheets: dict[str, Sequence[Sequence[Any]]] = {
        "Survey": [heading, ("K1", 27.625, 41.5)],
        "Survey old": [heading, ("K1", 27.5, 41.5)],
    }
    path = workbook(tmp_path, sheets)
    (question,) = [each for each in read(path).findings if each.verdict.value == "question"]
    assert (question.address, question.proposal) == ("Survey old", "skip")
    assert serious(read(path, answers={"Survey old": "skip"})) == []


def test_a_column_of_units_decides_row_by_row(tmp_path: Path) -> None:
    rows = [("mark", "width", "height", "unit"), ("K1", 27.625, 41.5, "in"), ("K2", 702, 1054, "mm")]
    reading = table(tmp_path, rows, unit="in")
    assert serious(reading) == []
    assert sizes(reading) == [SIZE, (mm(702), mm(1054))]


def test_a_mistyped_heading_is_asked_about_with_its_unit(tmp_path: Path) -> None:
    rows = [("mark", "widht (in)", "height (in)"), ("K1", 27.625, 41.5)]
    found = finding(table(tmp_path, rows), "B1")
    assert (found.verdict.value, found.proposal) == ("question", "width (in)")
    assert sizes(table(tmp_path, rows, accept_proposals=True)) == [SIZE]


def test_columns_that_mean_nothing_are_said(tmp_path: Path) -> None:
    reading = table(tmp_path, [("mark", "width (in)", "height (in)", "tenant"), ("K1", 27.625, 41.5, "x")])
    assert notices(reading) == ["Sheet1!D1: column tenant is not read"]


def test_a_label_used_in_every_unit_is_told_apart_by_its_place(tmp_path: Path) -> None:
    rows = [("unit", "mark", "width (in)", "height (in)"), ("301", "W1", 27.625, 41.5), ("302", "W1", 27.625, 41.5)]
    reading = table(tmp_path, rows)
    assert serious(reading) == []
    assert [each.label for each in reading.openings] == ["301-W1", "302-W1"]


def test_leading_zeros_of_labels_and_units_are_kept(tmp_path: Path) -> None:
    reading = read(csv_file(tmp_path, "unit,mark,width (in),height (in)\n007,01,27 5/8,41 1/2\n"))
    assert [(each.unit, each.label) for each in reading.openings] == [("007", "01")]


def test_a_rule_named_in_a_column_holds_for_its_row_alone(tmp_path: Path) -> None:
    rows = [
        ("mark", "width (in)", "height (in)", "bottoms clearance"),
        ("K1", 27.625, 41.5, "1/16"),
        ("K2", 30, 40, None),
    ]
    first, second = table(tmp_path, rows).openings
    assert first.rules is not None
    assert first.rules.bottoms_clearance == inches(0, 1, 16)
    assert second.rules is None


def test_a_second_table_beside_the_first_is_refused_rather_than_read_as_second_readings(tmp_path: Path) -> None:
    heading = ("mark", "width (in)", "height (in)", None, "mark", "width (in)", "height (in)")
    reading = table(tmp_path, [heading, ("K1", 27.625, 41.5, None, "K2", 30, 40)])
    assert serious(reading) == [
        "Sheet1!E1 error: a second table stands beside the first one (from E1 to column G); "
        "put its rows below the first, or on a sheet of its own"
    ]
    assert [opening.widths for opening in reading.openings] == [(inches(27, 5, 8),)]


def test_two_columns_of_one_heading_next_to_each_other_are_two_readings(tmp_path: Path) -> None:
    reading = table(tmp_path, [("mark", "width (in)", "width (in)", "height (in)"), ("K1", 27.625, 27.5, 41.5)])
    assert reading.openings[0].widths == (inches(27, 5, 8), inches(27, 1, 2))


def test_a_row_of_units_below_the_heading_gives_the_units(tmp_path: Path) -> None:
    reading = table(tmp_path, [("mark", "width", "height"), (None, "mm", "mm"), ("K1", 702, 1054)])
    assert serious(reading) == []
    assert sizes(reading) == [(mm(702), mm(1054))]


@pytest.mark.parametrize(
    "headings",
    [
        ("Apt #", "Rm", "Win #", "Opening W (in)", "Opening H (in)"),
        ("Unit No.", "Room name", "Window ID", "Clear width (in)", "Clear height (in)"),
    ],
)
def test_headings_are_matched_among_idle_words(tmp_path: Path, headings: tuple[str, ...]) -> None:
    reading = table(tmp_path, [headings, ("301", "bath", "W1", 27.625, 41.5)])
    assert serious(reading) == []
    (opening,) = reading.openings
    assert (opening.unit, opening.room, opening.label, opening.widths) == ("301", "bath", "W1", (SIZE[0],))


def test_a_heading_may_say_what_was_measured(tmp_path: Path) -> None:
    rows = [("mark", "finished width (in)", "height (old screen, in)"), ("K1", 27.625, 41.5)]
    reading = table(tmp_path, rows)
    assert serious(reading) == []
    assert (reading.openings[0].width_datum, reading.openings[0].height_datum) == (Datum.FINISHED, Datum.OLD_SCREEN)


def test_a_column_of_what_was_measured_goes_before_the_heading(tmp_path: Path) -> None:
    rows = [("mark", "finished width (in)", "finished height (in)", "measured between"), ("K1", 27.625, 41.5, "stops")]
    assert table(tmp_path, rows).openings[0].width_datum is Datum.STOPS


def test_frame_sizes_are_asked_about_so_that_no_deduction_is_made_twice(tmp_path: Path) -> None:
    rows = [("mark", "screen width (in)", "screen height (in)"), ("K1", 27.625, 41.5)]
    found = finding(table(tmp_path, rows), "B1")
    assert (found.verdict.value, found.proposal) == ("question", "width (finished size, in)")
    accepted = table(tmp_path, rows, accept_proposals=True)
    assert (accepted.openings[0].width_datum, accepted.openings[0].height_datum) == (Datum.FINISHED, Datum.FINISHED)
    opening = table(tmp_path, rows, answers={"Sheet1!B1": "width (channel bottoms, in)", "Sheet1!C1": "height (stops)"})
    assert (opening.openings[0].width_datum, opening.openings[0].height_datum) == (Datum.CHANNEL_BOTTOMS, Datum.STOPS)


def test_glass_sizes_are_never_taken_for_the_channel(tmp_path: Path) -> None:
    found = finding(table(tmp_path, [("mark", "glass width (in)", "height (in)"), ("K1", 27.625, 41.5)]), "B1")
    assert (found.verdict.value, found.proposal) == ("question", "")
    assert "smaller than the channel" in found.message
