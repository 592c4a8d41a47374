"""CSV read back by the standard library."""

from __future__ import annotations

import csv
import io

import pytest

from skirtloft.export.csv import render

ROWS = [
    {"code": "L01", "name": 'panel, "left"', "mass": 0.1 + 0.2, "quantity": 14, "round": True},
    {"code": "W1", "name": "Segel für zwei", "mass": float("nan"), "quantity": -3, "round": False},
    {"code": "J1", "name": None, "mass": -1.5, "extra": "not asked for"},
]
HEADINGS = {"code": "piece", "name": "name", "mass": "mass_kg", "quantity": "quantity", "round": "round"}


def test_round_trip():
    back = list(csv.reader(io.StringIO(render(ROWS, HEADINGS))))
    assert back == [
        ["piece", "name", "mass_kg", "quantity", "round"],
        ["L01", 'panel, "left"', "0.3", "14", "yes"],
        ["W1", "Segel für zwei", "", "-3", "no"],
        ["J1", "", "-1.5", "", ""],
    ]


def test_line_ends_and_order_are_the_same_everywhere():
    text = render(ROWS, ["quantity", "code"])
    assert text == "quantity,code\n14,L01\n-3,W1\n,J1\n"


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t", "\n=", " ="])
def test_text_is_never_a_formula(start):
    (row,) = list(csv.DictReader(io.StringIO(render([{"name": f"{start}1+1"}], ["name"]), newline="")))
    assert row["name"] == f"'{start}1+1"


def test_numbers_stay_numbers():
    assert render([{"x": -2.5}], ["x"]) == "x\n-2.5\n"
