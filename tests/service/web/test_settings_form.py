"""Settings of the page's form, and what a browser keeps of them."""

from __future__ import annotations

import pytest

from service.job_settings import JobSettings, LabelGrid
from service.web.settings_form import (
    FormError,
    label_fields,
    remembered_settings,
    remembered_text,
    rule_fields,
    settings_of,
)
from solver.rules import Rules


def test_an_empty_form_means_the_defaults() -> None:
    assert settings_of({}) == JobSettings()
    assert settings_of({"name": "", "unit": "", "rule.kerf": " ", "columns": "\n"}) == JobSettings()


def test_a_filled_form_is_taken_over() -> None:
    settings = settings_of(
        {
            "name": " Block A ",
            "unit": "mm",
            "currency": "EUR",
            "seconds": "300",
            "park_faulty_rows": "yes",
            "rule.kerf": "2.4 mm",
            "columns": "width = Clear opening W\nheight=H",
        }
    )
    assert settings == JobSettings(
        name="Block A",
        unit="mm",
        currency="EUR",
        seconds=300,
        work=900_000,
        park_faulty_rows=True,
        rules={"kerf": "2.4 mm"},
        columns={"width": "Clear opening W", "height": "H"},
    )


@pytest.mark.parametrize(
    ("form", "message"),
    [
        ({"columns": "width"}, "columns: 'width'; write for example width = Clear opening W"),
        ({"seconds": "soon"}, "time limit 'soon': write whole seconds"),
        ({"seconds": "²"}, "time limit '²': write whole seconds"),
        ({"rule.colour": "red"}, "colour is no shop rule"),
        ({"unit": "ell"}, "unit: Input should be 'in' or 'mm'"),
    ],
)
def test_a_field_that_makes_no_sense_is_named(form: dict[str, str], message: str) -> None:
    with pytest.raises(FormError) as caught:
        settings_of(form)
    assert str(caught.value) == message


def test_paper_and_label_page_are_taken_over_and_remembered() -> None:
    typed = {"label.page_width_mm": "100", "label.page_height_mm": "50", "label.columns": "", "paper": "a4"}
    settings = settings_of(typed)
    assert settings.paper == "a4"
    assert settings.labels == LabelGrid(page_width_mm=100, page_height_mm=50)
    assert remembered_settings(remembered_text(settings)) == settings
    assert [field.name for field in label_fields()] == list(LabelGrid.model_fields)


def test_a_label_too_small_for_a_code_is_refused_in_words() -> None:
    with pytest.raises(FormError, match=r"labels of 20.0 x 10.0 mm are too small"):
        settings_of({"label.page_width_mm": "20", "label.page_height_mm": "10"})


def test_the_next_job_remembers_the_shop_but_not_the_job() -> None:
    settings = JobSettings(
        name="Block A", unit="mm", currency="EUR", rules={"kerf": "3"}, seconds=300, answers={"a!A1": "1"}
    )
    assert remembered_settings(remembered_text(settings)) == JobSettings(
        unit="mm", currency="EUR", rules={"kerf": "3"}, seconds=300
    )


def test_settings_too_long_for_a_cookie_are_not_kept() -> None:
    assert remembered_text(JobSettings(rules={"kerf": "1" * 4_000})) == ""


@pytest.mark.parametrize("text", ["", "%%%", "eyJ1bml0IjoiZWxsIn0=", "W10="])
def test_a_spoilt_cookie_means_the_defaults(text: str) -> None:
    assert remembered_settings(text) == JobSettings()


def test_a_remembered_rule_that_no_longer_exists_is_forgotten() -> None:
    kept = remembered_text(JobSettings(rules={"kerf": "3", "blade_colour": "red"}))
    assert remembered_settings(kept).rules == {"kerf": "3"}


def test_every_shop_rule_has_a_field_with_its_default_and_the_saw_comes_first() -> None:
    fields = rule_fields()
    assert {field.name for field in fields} == set(Rules.__dataclass_fields__)
    assert fields[0].name == "kerf"
    assert fields[0].default == "1/8 in, 3 mm in metric jobs"
    assert all(field.default for field in fields)
    defaults = {field.name: field.default for field in fields}
    assert defaults["springs"] == "2"
    assert defaults["plausible_area"] == "40 sq ft, 3.7 m2 in metric jobs"
