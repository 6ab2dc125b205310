"""Ports and wire formats are open lists: another one is a file."""

import json
import subprocess
import sys

import pytest

from benchmeter.errors import InputError
from benchmeter.links.instruments.address import parse_address
from benchmeter.links.instruments.formats.known_formats import FORMATS
from benchmeter.links.ports.kinds.known_kinds import PORT_KINDS


def test_a_cable_and_a_format_of_one_file_each_are_recorded_from() -> None:
    """101.32 kPa, three times."""
    command = [sys.executable, "-m", "tests.links.cable_and_format"]
    done = subprocess.run(command, capture_output=True, text=True, timeout=120, check=False)
    assert done.returncode == 0, done.stderr
    found = json.loads(done.stdout)
    assert (found["name"], found["quantity"], found["unit"]) == ("air", "pressure", "kPa")
    assert [(r["value"], r["resolution"]) for r in found["readings"]] == [(101.32, 0.01)] * 3


def test_the_lists_hold_what_the_folders_hold() -> None:
    kinds = {table.__struct_config__.tag for table in FORMATS}
    assert kinds == {"scpi", "lcd14", "text", "modbus"}
    assert set(PORT_KINDS) == {"serial"}


def test_a_link_of_an_unknown_kind_is_refused() -> None:
    with pytest.raises(InputError) as caught:
        parse_address("canned:10132?profile=angles")
    assert caught.value.message.code == "links.no_link"
