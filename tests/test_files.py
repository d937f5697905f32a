"""Writing whole or not at all, and one writer at a time."""

from __future__ import annotations

import contextlib
import errno
import os
import subprocess
import sys
import threading
import time
from pathlib import Path

import pytest

from timeline.files import lesson_lock, sweep, write_atomic
from timeline.problems import OutputError


def names(folder: Path) -> list[str]:
    return sorted(p.name for p in folder.iterdir())


def test_a_file_is_written_with_its_exact_bytes(tmp_path: Path):
    write_atomic(tmp_path / "a.txt", "zwei\nZeilen\r\n")
    assert (tmp_path / "a.txt").read_bytes() == b"zwei\nZeilen\r\n"
    write_atomic(tmp_path / "a.txt", b"\x00\xff")
    assert (tmp_path / "a.txt").read_bytes() == b"\x00\xff"
    assert names(tmp_path) == ["a.txt"]


@pytest.mark.skipif(os.name == "nt", reason="permissions are POSIX's")
def test_permissions_of_an_existing_file_stay(tmp_path: Path):
    (tmp_path / "a.txt").write_text("old")
    (tmp_path / "a.txt").chmod(0o640)
    write_atomic(tmp_path / "a.txt", "new")
    assert (tmp_path / "a.txt").stat().st_mode & 0o777 == 0o640


def test_a_link_is_replaced_not_followed(tmp_path: Path):
    (tmp_path / "precious").write_text("precious")
    (tmp_path / "captions.srt").symlink_to(tmp_path / "precious")
    write_atomic(tmp_path / "captions.srt", "new")
    assert (tmp_path / "precious").read_text() == "precious"


@pytest.mark.parametrize("number", [errno.ENOSPC, errno.EDQUOT])
def test_a_full_disk_keeps_the_old_file_and_leaves_nothing_else(tmp_path: Path, monkeypatch, number: int):
    (tmp_path / "a.txt").write_text("old")

    def full(handle: int) -> None:
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr("timeline.files.os.fsync", full)
    with pytest.raises(OutputError, match=r"the disk is full; a\.txt was not written") as caught:
        write_atomic(tmp_path / "a.txt", "new")
    assert caught.value.findings[0].code == "disk-full"
    assert (tmp_path / "a.txt").read_text() == "old"
    assert names(tmp_path) == ["a.txt"]


@pytest.fixture
def small_disk(tmp_path: Path):
    """A real file system of 64 KiB; needs the right to mount."""
    place = tmp_path / "disk"
    place.mkdir()
    if os.name == "nt" or not hasattr(os, "geteuid") or os.geteuid() != 0:
        pytest.skip("only root may mount")
    done = subprocess.run(["mount", "-t", "tmpfs", "-o", "size=64k", "tmpfs", place], capture_output=True, check=False)
    if done.returncode:
        pytest.skip("mounting is not allowed here")
    yield place
    subprocess.run(["umount", place], check=True)


def test_a_really_full_disk(small_disk: Path):
    write_atomic(small_disk / "a.txt", "old")
    with pytest.raises(OutputError) as caught:
        write_atomic(small_disk / "a.txt", b"x" * 200_000)
    assert caught.value.findings[0].code == "disk-full"
    assert (small_disk / "a.txt").read_text() == "old"
    assert names(small_disk) == ["a.txt"]


def test_ctrl_c_while_writing_keeps_the_old_file(tmp_path: Path, monkeypatch):
    (tmp_path / "a.txt").write_text("old")

    def stop(handle: int) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("timeline.files.os.fsync", stop)
    with pytest.raises(KeyboardInterrupt):
        write_atomic(tmp_path / "a.txt", "new")
    assert (tmp_path / "a.txt").read_text() == "old"
    assert names(tmp_path) == ["a.txt"]


def test_a_folder_that_is_not_there(tmp_path: Path):
    with pytest.raises(OutputError) as caught:
        write_atomic(tmp_path / "none" / "a.txt", "x")
    assert caught.value.findings[0].code == "cannot-write"


def test_sweep_removes_only_half_written_files(tmp_path: Path):
    for name in (".plyline-0a1b.tmp", "a.tmp", "lesson.yaml"):
        (tmp_path / name).write_text("x")
    sweep(tmp_path)
    assert names(tmp_path) == ["a.tmp", "lesson.yaml"]


# -- the lock
HOLD = """
import sys, time
from pathlib import Path
from timeline.files import lesson_lock
with lesson_lock(Path(sys.argv[1])):
    print("held", flush=True)
    time.sleep(600)
"""


@contextlib.contextmanager
def other_process(folder: Path):
    process = subprocess.Popen([sys.executable, "-c", HOLD, str(folder)], stdout=subprocess.PIPE, text=True)
    assert process.stdout is not None
    assert process.stdout.readline() == "held\n"
    try:
        yield process
    finally:
        process.kill()
        process.wait()
        process.stdout.close()


def test_a_second_process_is_refused_and_told_who_holds_the_lock(tmp_path: Path):
    with other_process(tmp_path) as process:
        with pytest.raises(OutputError) as caught, lesson_lock(tmp_path):
            pass
        finding = caught.value.findings[0]
        assert finding.code == "locked"
        assert f"process {process.pid} on" in finding.message


def test_the_lock_of_a_killed_process_is_free_at_once(tmp_path: Path):
    with other_process(tmp_path) as process:
        process.kill()
        process.wait()
        deadline = time.monotonic() + 60
        while True:
            try:
                with lesson_lock(tmp_path):
                    break
            except OutputError:
                assert time.monotonic() < deadline
                time.sleep(0.01)


def test_the_lock_nests_and_is_released(tmp_path: Path):
    with lesson_lock(tmp_path), lesson_lock(tmp_path):
        pass
    with other_process(tmp_path):
        pass


def test_the_lock_is_released_after_an_error(tmp_path: Path):
    with pytest.raises(RuntimeError), lesson_lock(tmp_path):
        raise RuntimeError
    with other_process(tmp_path):
        pass


def test_threads_of_one_process_share_the_lock(tmp_path: Path):
    done = []

    def work() -> None:
        with lesson_lock(tmp_path):
            done.append(1)

    with lesson_lock(tmp_path):
        thread = threading.Thread(target=work)
        thread.start()
        thread.join(5)
    assert done == [1]
