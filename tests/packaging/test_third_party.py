"""Every package and font that the program needs is listed with a licence."""

import importlib.util
from email.message import Message
from pathlib import Path
from types import ModuleType

import pytest

ROOT = Path(__file__).resolve().parents[2]
LISTED = (ROOT / "packaging" / "THIRD-PARTY.md").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def third_party() -> ModuleType:
    path = ROOT / "packaging" / "third_party.py"
    spec = importlib.util.spec_from_file_location("third_party", path)
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


class Package:
    """An installed package, as far as its metadata tell."""

    def __init__(self, **fields: str) -> None:
        self.metadata = Message()
        for name, value in fields.items():
            self.metadata[name.replace("_", "-")] = value


def test_each_package_that_is_needed_is_listed(third_party: ModuleType) -> None:
    names = [package.name for package in third_party.needed().values()]
    assert "PySide6_Essentials" in names
    assert "MarkupSafe" in names, "needed by way of two others"
    missing = [name for name in names if f"| {name} |" not in LISTED]
    assert not missing, "run packaging/third_party.py"


def test_each_package_has_a_known_licence(third_party: ModuleType) -> None:
    assert third_party.page()


def test_each_font_file_is_listed_with_its_licence(third_party: ModuleType) -> None:
    for name, terms, text in third_party.FONTS:
        assert f"| {name} | {terms} | {text} |" in LISTED
        assert "SIL OPEN FONT LICENSE Version 1.1" in (ROOT / text).read_text(encoding="utf-8")
    families = {path.stem.partition("-")[0] for path in (ROOT / "resources/fonts").glob("*.?tf")}
    listed = {n.replace(" ", "") for name, _, _ in third_party.FONTS for n in name.split(", ")}
    assert families == listed


@pytest.mark.parametrize(
    "fields",
    [
        {"License_Expression": "MIT AND SSPL-1.0"},
        {"Classifier": "License :: Other/Proprietary License"},
        {"License": "ask the author"},
        {},
    ],
)
def test_an_unknown_licence_is_refused(third_party: ModuleType, fields: dict[str, str]) -> None:
    with pytest.raises(third_party.UnknownLicence, match="odd"):
        third_party.licence(Package(Name="odd", **fields))


# SPDX licence expressions: SPDX specification, annex "SPDX licence expressions".
@pytest.mark.parametrize(
    ("fields", "spdx"),
    [
        ({"License_Expression": "LGPL-3.0-only OR (GPL-2.0-only AND MIT)"}, None),
        ({"Classifier": "License :: OSI Approved :: BSD License"}, "BSD-3-Clause"),
        ({"License": "MIT"}, "MIT"),
    ],
)
def test_a_known_licence_is_given_in_spdx(
    third_party: ModuleType, fields: dict[str, str], spdx: str | None
) -> None:
    wanted = spdx or fields["License_Expression"]
    assert third_party.licence(Package(Name="fine", **fields)) == wanted
