"""What another process writes for the window fails here as it failed there."""

from pathlib import Path

import pytest

from benchmeter.errors import NoSuchRecord, WorldError
from benchmeter.files.folders import Folders
from benchmeter.files.output_file import OutputFile
from benchmeter.record.store import Store
from benchmeter.tasks.writing import Report
from benchmeter.window.writer import write_beside

pytestmark = pytest.mark.gui


def test_a_fault_keeps_its_kind_and_message(folders: Folders, tmp_path: Path) -> None:
    report = Report("0000", OutputFile(tmp_path / "page.html"))
    Store.open(folders, write=True).close()
    with pytest.raises(NoSuchRecord) as beside:
        write_beside(folders, report)
    with Store.open(folders, write=False) as store, pytest.raises(NoSuchRecord) as here:
        report.write(store, lambda *_: None)
    assert beside.value.message == here.value.message
    assert not report.to.path.exists()


def test_a_process_that_dies_is_told(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr("sys.executable", "false")
    with pytest.raises(WorldError) as fault:
        write_beside(Folders(tmp_path), Report("0000", OutputFile(tmp_path / "page.html")))
    assert fault.value.message.code == "tasks.not_written"
