"""Batches: lessons found, faults kept apart, killed workers' lessons begun again, clusters."""

from __future__ import annotations

import os
import signal
import sys
from pathlib import Path
from time import monotonic, sleep

import pytest

from timeline.batch import ATTEMPTS, find_lessons, guarded, run_batch
from timeline.problems import LessonFileError, OutputError

HERE = str(Path(__file__).parent)


def count(folder: str) -> int:
    """How often a job has begun in a folder, this time included."""
    with Path(folder, "begun").open("a") as file:
        file.write("x")
    return len(Path(folder, "begun").read_text())


def until_told(folder: Path, seconds: float = 60) -> None:
    """Wait till the batch has told of a lesson: a worker that dies while another's result is on its way loses both."""
    end = monotonic() + seconds
    while not (folder / "told").exists():
        assert monotonic() < end, f"nothing was told of {folder.name}"
        sleep(0.01)


def job(folder: str) -> str:
    """What the folder's name says."""
    name = Path(folder).name
    times = count(folder)
    for file in Path(folder).glob("after-*"):
        until_told(Path(folder).parent / file.name.removeprefix("after-"))
    if name.startswith("dies-always") or (name.startswith("dies-once") and times == 1):
        os.kill(os.getpid(), signal.SIGKILL)
    if name.startswith("wrong"):
        raise LessonFileError.of("no-length", "nothing says how long the lesson is", file="lesson.yaml")
    if name.startswith("broken"):
        raise ZeroDivisionError("this should not have happened")
    return f"made {name}"


def lessons(folder: Path, *names: str) -> list[Path]:
    for name in names:
        (folder / name).mkdir(parents=True)
        (folder / name / "lesson.yaml").write_text("")
    return [folder / name for name in names]


def test_lessons_are_found_in_order_and_not_in_results(tmp_path):
    lessons(tmp_path, "b", "a/one", "a/two", ".hidden/x", "c/out/copy")
    (tmp_path / "c" / "lesson.yaml").write_text("")
    (tmp_path / "empty").mkdir()
    found = [p.relative_to(tmp_path).as_posix() for p in find_lessons(tmp_path)]
    assert found == ["a/one", "a/two", "b", "c"]
    assert find_lessons(tmp_path / "b") == [tmp_path / "b"]
    with pytest.raises(LessonFileError, match=r"no folder in here has a lesson\.yaml"):
        find_lessons(tmp_path / "empty")
    with pytest.raises(LessonFileError, match="no such folder"):
        find_lessons(tmp_path / "nowhere")


@pytest.fixture
def importable(monkeypatch):
    """Workers find this module by the name it is pickled under."""
    module = sys.modules[job.__module__]
    name = Path(__file__).stem
    monkeypatch.setitem(sys.modules, name, module)
    monkeypatch.setattr(job, "__module__", name)
    monkeypatch.setenv("PYTHONPATH", os.pathsep.join([HERE, os.environ.get("PYTHONPATH", "")]))
    monkeypatch.syspath_prepend(HERE)
    return job


def test_faults_of_one_lesson_do_not_touch_the_others(tmp_path, importable):
    folders = lessons(tmp_path, "one", "wrong", "broken", "two")
    seen = []
    results = run_batch(folders, importable, workers=2, progress=seen.append)
    assert [r.folder.name for r in results] == ["one", "wrong", "broken", "two"]
    assert [r.state for r in results] == ["done", "failed", "failed", "done"]
    assert results[0].says == "made one"
    assert "nothing says how long" in results[1].says
    assert "ZeroDivisionError: this should not have happened" in results[2].says
    assert {r.folder for r in seen} == set(folders)
    assert all((f / "begun").read_text() == "x" for f in folders)


@pytest.mark.skipif(sys.platform == "win32", reason="kills a process as Linux does when memory runs out")
def test_a_killed_workers_lesson_is_begun_again_and_finished_ones_are_not(tmp_path, importable):
    folders = lessons(tmp_path, "one", "two", "dies-once", "dies-always", "three", "four")
    for finished in ("one", "two"):
        (tmp_path / "dies-once" / f"after-{finished}").touch()
    results = run_batch(folders, importable, workers=2, progress=lambda r: (r.folder / "told").touch())
    states = {r.folder.name: r.state for r in results}
    assert states == dict.fromkeys(("one", "two", "dies-once", "three", "four"), "done") | {"dies-always": "lost"}
    begun = {f.name: len((f / "begun").read_text()) for f in folders}
    assert begun["one"] == begun["two"] == 1
    assert begun["dies-once"] == 2
    assert 2 <= begun["dies-always"] <= ATTEMPTS  # once it may have waited while its neighbour took the pool down
    assert begun["three"] <= 2  # it may have been beside the one that died
    assert begun["four"] <= 2


def test_a_fault_is_told_in_text(tmp_path):
    (folder,) = lessons(tmp_path, "wrong")
    state, says, seconds = guarded(job, str(folder))
    assert state == "failed"
    assert "lesson.yaml" in says
    assert seconds >= 0


def test_without_the_extra_a_cluster_is_refused_with_the_way_to_get_it(tmp_path, monkeypatch):
    monkeypatch.setitem(sys.modules, "distributed", None)
    with pytest.raises(OutputError, match="dask") as caught:
        run_batch(lessons(tmp_path, "one"), job, cluster="tcp://127.0.0.1:1")
    assert "'.[cluster]'" in caught.value.findings[0].fix


@pytest.fixture
def cluster(importable):
    """A dask cluster of two processes on this machine, when the extra is installed."""
    distributed = pytest.importorskip("distributed")
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, host="127.0.0.1", dashboard_address=None, silence_logs=50
    ) as local:
        yield local.scheduler_address


@pytest.mark.filterwarnings("ignore::pytest.PytestUnraisableExceptionWarning", "ignore::ResourceWarning")
def test_a_cluster_does_the_same(tmp_path, importable, cluster):
    folders = lessons(tmp_path, "one", "wrong", "dies-once", "two")
    results = run_batch(folders, importable, cluster=cluster)
    assert [(r.folder.name, r.state) for r in results] == [
        ("one", "done"),
        ("wrong", "failed"),
        ("dies-once", "done"),
        ("two", "done"),
    ]
    assert len((tmp_path / "dies-once" / "begun").read_text()) == 2


def test_a_cluster_that_does_not_answer_is_named(tmp_path, monkeypatch):
    pytest.importorskip("distributed")
    monkeypatch.setattr("timeline.batch._CONNECT_S", 0.5)
    with pytest.raises(OutputError, match="does not answer"):
        run_batch(lessons(tmp_path, "one"), job, cluster="tcp://127.0.0.1:9")
