"""The rule file that keeps the modem daemon off the adapters. Its form: udev(7)."""

import re
from pathlib import Path

RULES = Path(__file__).parents[3] / "packaging" / "udev" / "65-benchmeter-serial.rules"
LINES = [line for line in RULES.read_text(encoding="utf-8").splitlines() if line and line[0] != "#"]


def test_it_gives_the_port_to_who_sits_there_and_keeps_the_daemon_off() -> None:
    text = "\n".join(LINES)
    assert 'ENV{ID_MM_DEVICE_IGNORE}="1"' in text
    assert 'TAG+="uaccess"' in text


def test_its_number_is_below_that_of_the_rules_that_act_on_uaccess() -> None:
    """73-seat-late.rules of systemd."""
    assert int(RULES.name[:2]) < 73


def test_it_names_no_maker_and_no_product() -> None:
    assert not [line for line in LINES if re.search(r"idVendor|idProduct|ID_VENDOR|ID_MODEL", line)]


def test_every_jump_goes_forward_to_a_label() -> None:
    """A missing label makes udev ignore the rule."""
    for number, line in enumerate(LINES):
        for label in re.findall(r'GOTO="(\w+)"', line):
            assert f'LABEL="{label}"' in LINES[number + 1 :]


def test_every_line_is_a_list_of_keys_operators_and_quoted_values() -> None:
    item = r'[A-Z]+(\{\w+\})?(==|!=|\+=|=)"[^"]*"'
    assert all(re.fullmatch(rf"{item}(,\s*{item})*", line) for line in LINES)
