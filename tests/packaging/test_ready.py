"""What keeps a checkout from running is told in sentences, with what to do."""

import ast
import importlib.util
import os
import sys
from pathlib import Path
from types import ModuleType

import pytest

READY = Path(__file__).resolve().parents[2] / "packaging" / "ready.py"

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="needs shell scripts")


@pytest.fixture
def ready() -> ModuleType:
    spec = importlib.util.spec_from_file_location("ready", READY)
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


class System:
    """A system whose package tools are scripts in a folder of their own."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.called = folder / "called"

    def has(self, *lines: str) -> None:
        """Packages as dpkg-query lists them: status, name, what they provide."""
        (self.folder / "listed").write_text("".join(f"{line}\n" for line in lines))
        self._script("dpkg-query", f"/bin/cat {self.folder}/listed")
        self.apt_does("exit 0")

    def apt_does(self, what: str) -> None:
        self._script("apt-get", f'echo "$@" >> {self.called}\n{what}')

    def _script(self, name: str, text: str) -> None:
        path = self.folder / name
        path.write_text(f"#!/bin/sh\n{text}\n")
        path.chmod(0o755)


@pytest.fixture
def system(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> System:
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.setattr(os, "geteuid", lambda: 0)
    return System(tmp_path)


def test_nothing_is_installed_where_nothing_is_missing(ready: ModuleType, system: System) -> None:
    # Debian 13 calls the library libglib2.0-0t64; it provides the old name.
    system.has("installed\tlibgl1, ", "installed\tlibglib2.0-0t64, libglib2.0-0 (= 2.84.4-3)")
    ready.system_ready(["libgl1", "libglib2.0-0"])
    assert not system.called.exists()


def test_only_what_is_missing_is_installed(ready: ModuleType, system: System) -> None:
    system.has("installed\tlibgl1, ", "config-files\tlibegl1, ")
    ready.system_ready(["libgl1", "libegl1"])
    assert system.called.read_text().splitlines() == [
        "update",
        "install -y --no-install-recommends libegl1",
    ]


def test_without_root_the_one_line_to_run_is_told(
    ready: ModuleType, system: System, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(os, "geteuid", lambda: 1000)  # and there is no sudo on the path
    system.has("installed\tlibgl1, ")
    with pytest.raises(ready.NotReady) as told:
        ready.system_ready(["libgl1", "libegl1"])
    line = "sudo apt-get update && sudo apt-get install -y --no-install-recommends libegl1"
    assert line in str(told.value)
    assert not system.called.exists()


def test_a_failing_install_is_told_with_its_reason_and_what_to_do(
    ready: ModuleType, system: System
) -> None:
    system.has("installed\tlibgl1, ")
    system.apt_does("echo Reading package lists\necho 'E: no name for the mirror' >&2\nexit 100")
    with pytest.raises(ready.NotReady) as told:
        ready.system_ready(["libegl1"])
    assert "“apt-get update” did not work. Check the connection" in str(told.value)
    assert "E: no name for the mirror" in str(told.value)
    assert "Reading" not in str(told.value)


def test_a_system_without_these_tools_is_left_alone(
    ready: ModuleType, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    ready.system_ready(["libgl1"])


def test_failing_packages_are_told_with_the_error_and_the_log(
    ready: ModuleType, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(ready, "LOG", tmp_path / "log")
    fails = "print('WARNING: retrying'); print('ERROR: nothing found'); raise SystemExit(1)"
    with pytest.raises(ready.NotReady) as told:
        ready._fetch([sys.executable, "-c", fails])
    assert "no connection to the internet" in str(told.value)
    assert "ERROR: nothing found" in str(told.value)
    assert "retrying" not in str(told.value)
    assert "retrying" in (tmp_path / "log").read_text()


def test_python_versions_that_are_too_old_can_read_the_file() -> None:
    # 3.9: Debian 11. Otherwise they would show a syntax error instead of the sentence.
    ast.parse(READY.read_text(encoding="utf-8"), feature_version=(3, 9))
