#!/usr/bin/env python3
"""Write `packaging/THIRD-PARTY.md`: what the program needs from others, under which licence.

    .venv/bin/python packaging/third_party.py

Reads the metadata of the installed packages, beginning with the dependencies in pyproject.toml.
Exit status 1, and nothing written, where a licence is not in the list below.
"""

import re
import sys
import tomllib
from importlib import metadata
from itertools import product
from pathlib import Path

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).resolve().parent.parent
TARGET = ROOT / "packaging" / "THIRD-PARTY.md"

# SPDX names of the licences under which the program may use a package.
KNOWN = {
    "0BSD",
    "Apache-2.0",
    "BSD-3-Clause",
    "CC0-1.0",
    "CNRI-Python",
    "GPL-2.0-only",
    "GPL-3.0-only",
    "LGPL-3.0-only",
    "MIT",
    "OFL-1.1",
    "PSF-2.0",
    "Zlib",
}
OLD_WORDS = {  # how packages without an SPDX expression say it
    "Apache-2.0": "Apache-2.0",
    "BSD": "BSD-3-Clause",
    "BSD License": "BSD-3-Clause",
    "BSD-3-Clause": "BSD-3-Clause",
    "MIT": "MIT",
    "MIT License": "MIT",
}
FONTS = [("B612, B612 Mono", "OFL-1.1", "resources/fonts/LICENSE-B612.txt")]

SYSTEMS = [("linux", "Linux", "posix"), ("win32", "Windows", "nt"), ("darwin", "Darwin", "posix")]
PYTHONS = ["3.11", "3.12", "3.13"]

HEAD = """\
# What benchmeter needs from others

Written by `packaging/third_party.py` from the metadata of the packages. Versions are in
`packaging/lock-run.txt`. benchmeter itself is under the MIT licence (`packaging/LICENSE`).

The packages are installed beside the program and not changed. Qt (PySide6, Shiboken) is used
under the LGPL 3: its libraries lie in the folder of the Python environment as files of their own
and can be replaced there.

"""


class UnknownLicence(Exception):
    """A package whose licence is not stated, or not among the known ones."""


def needed() -> dict[str, metadata.Distribution]:
    """By name: what the program needs at run time, on any system and Python that it supports.

    Raises:
        metadata.PackageNotFoundError: one of them is not installed.
    """
    environments = [
        {
            "sys_platform": system,
            "platform_system": platform,
            "os_name": name,
            "python_version": python,
            "python_full_version": f"{python}.0",
            "extra": "",
        }
        for (system, platform, name), python in product(SYSTEMS, PYTHONS)
    ]
    with (ROOT / "pyproject.toml").open("rb") as file:
        lines = tomllib.load(file)["project"]["dependencies"]
    found: dict[str, metadata.Distribution] = {}
    while lines:
        requirement = Requirement(lines.pop())
        marker, name = requirement.marker, canonicalize_name(requirement.name)
        if name in found or (marker and not any(marker.evaluate(e) for e in environments)):
            continue
        found[name] = metadata.distribution(name)
        lines += found[name].requires or []
    return dict(sorted(found.items()))


def licence(package: metadata.Distribution) -> str:
    """The licence as an SPDX expression.

    Raises:
        UnknownLicence: it is not stated, or not in the list of known ones.
    """
    about = package.metadata
    expression = about.get("License-Expression")
    if expression is None:
        stated = [
            line.rpartition(" :: ")[2]
            for line in about.get_all("Classifier") or []
            if line.startswith("License :: ")
        ] or [about.get("License", "")]
        expression = " AND ".join(OLD_WORDS.get(word, word or "none stated") for word in stated)
    unknown = [n for n in re.split(r" AND | OR |[()]", expression) if n and n not in KNOWN]
    if unknown:
        raise UnknownLicence(f"{about['Name']}: {', '.join(unknown)}")
    return expression


def home(package: metadata.Distribution) -> str:
    """The package's home page, else its sources."""
    links = dict(line.split(", ", 1) for line in package.metadata.get_all("Project-URL") or [])
    named = {label.lower(): url for label, url in links.items()}
    for label in ("homepage", "home", "source", "source code", "repository"):
        if label in named:
            return named[label]
    return package.metadata.get("Home-page", "")


def page() -> str:
    """The whole file.

    Raises:
        UnknownLicence: names each package whose licence is unknown.
    """
    rows, unknown = [], []
    for package in needed().values():
        try:
            rows.append(f"| {package.name} | {licence(package)} | {home(package)} |")
        except UnknownLicence as error:
            unknown.append(str(error))
    if unknown:
        raise UnknownLicence("; ".join(unknown))
    fonts = [f"| {name} | {terms} | {text} |" for name, terms, text in FONTS]
    parts = [
        *("## Packages", "", "| package | licence (SPDX) | home |", "|---|---|---|", *rows, ""),
        *("## Fonts that come with the program, unchanged", ""),
        *("| font | licence (SPDX) | text |", "|---|---|---|", *fonts, ""),
    ]
    return HEAD + "\n".join(parts)


def main() -> int:
    """Exit status."""
    try:
        text = page()
    except UnknownLicence as error:
        print(f"Unknown licence. {error}")
        print(f"Read it; if it may be used, add it to the list in {Path(__file__).name}.")
        return 1
    except metadata.PackageNotFoundError as error:
        print(f"{error.name} is not installed: run packaging/ready.py first.")
        return 1
    TARGET.write_text(text, encoding="utf-8")
    print(f"Written: {TARGET}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
