"""Many lessons, each a job of its own, on the processors of this machine or on a dask cluster.

A job is a function of a folder's name that can be pickled (a plain function
of a module). It has to be safe to run twice: results appear under their names
only when complete, and a build does not make again what is up to date.
"""

from __future__ import annotations

import contextlib
import multiprocessing
import os
import signal
import threading
import traceback
from collections import deque
from collections.abc import Callable, Generator, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Executor, Future, ProcessPoolExecutor, as_completed, wait
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass
from pathlib import Path
from time import monotonic
from types import FrameType
from typing import Literal

from timeline.problems import LessonFileError, OutputError, PlylineError

Job = Callable[[str], str]
"""Works on the lesson in a folder; gives a line for the summary. Raises PlylineError."""

Outcome = tuple[Literal["done", "failed"], str, float]
"""How a job ended, what there is to say, and the seconds it took."""

ATTEMPTS = 3
"""A lesson whose worker dies is begun so many times in all."""
_CONNECT_S = 20
_CLEARING_S = 10
_ENDED = 128 + signal.SIGTERM
_at_work = threading.Event()
_NOT_HERE = {"out", "node_modules"}


class _Ended(BaseException):
    """This worker was told to end."""


@dataclass(frozen=True, slots=True)
class BatchResult:
    """What became of one lesson: ``done``, ``failed`` (its own fault, see ``says``) or ``lost`` (workers died)."""

    folder: Path
    state: Literal["done", "failed", "lost"]
    says: str
    seconds: float = 0.0
    attempts: int = 1


def find_lessons(folder: Path, *, name: str = "lesson.yaml") -> list[Path]:
    """Folders below (or at) ``folder`` that hold a lesson, in order of their names.

    Hidden folders and results are not looked into. Raises LessonFileError
    when there is none.
    """
    if not folder.is_dir():
        raise LessonFileError.of("no-folder", "there is no such folder", file=str(folder))
    found = []
    for place, inner, files in os.walk(folder):
        inner[:] = sorted(d for d in inner if not d.startswith(".") and d not in _NOT_HERE)
        if name in files:
            found.append(Path(place))
            inner.clear()
    if not found:
        raise LessonFileError.of(
            "no-lessons", f"no folder in here has a {name}", file=str(folder), fix="make lessons with `plyline new`"
        )
    return sorted(found)


def run_batch(
    folders: Sequence[Path],
    job: Job,
    *,
    workers: int | None = None,
    cluster: str | None = None,
    progress: Callable[[BatchResult], None] | None = None,
) -> list[BatchResult]:
    """Run the job for every folder; gives a result for each, in the given order.

    Without ``cluster`` the jobs run in ``workers`` processes of this machine
    (by default one for each two processors, as encoding uses two). A worker
    that is killed takes only its own lesson back to the start. ``cluster`` is
    the address of a dask.distributed scheduler; its workers must see the same
    folders under the same names. ``progress`` is called after each lesson.
    Raises OutputError when the cluster cannot be used.
    """
    results: dict[Path, BatchResult] = {}
    run = _on_cluster(folders, job, cluster) if cluster else _here(folders, job, workers)
    with contextlib.closing(run):
        for result in run:
            results[result.folder] = result
            if progress is not None:
                progress(result)
    return [results[folder] for folder in folders]


def guarded(job: Job, folder: str) -> Outcome:
    """Run one job in its worker: faults become text there, as not every exception can be sent back."""
    begun = monotonic()
    try:
        try:
            _at_work.set()
            says = job(folder)
        finally:
            _at_work.clear()
    except _Ended:  # what was half-written is cleared away: now die like any killed worker
        os._exit(_ENDED)
    except PlylineError as fault:
        return "failed", str(fault), monotonic() - begun
    except Exception:
        return "failed", traceback.format_exc(limit=-3).strip(), monotonic() - begun
    return "done", says, monotonic() - begun


def _result(folder: Path, future: Future[Outcome], attempts: int) -> BatchResult:
    state, says, seconds = future.result()
    return BatchResult(folder, state, says, round(seconds, 3), attempts)


def _here(folders: Sequence[Path], job: Job, workers: int | None) -> Generator[BatchResult, None, None]:
    count = workers or max(1, (os.cpu_count() or 1) // 2)
    waiting = deque(dict.fromkeys(folders))
    suspects: list[Path] = []
    while waiting:
        # One dead worker ends the whole pool. Only as many lessons as there are workers are under way, so that
        # the suspects are few; each then runs alone, so that it is clear which one does it.
        with _pool(count) as pool:
            running: dict[Future[Outcome], Path] = {}
            try:
                while waiting or running:
                    while waiting and len(running) < count:
                        folder = waiting.popleft()
                        try:
                            running[_submitted(pool, job, folder)] = folder
                        except BrokenProcessPool:
                            waiting.appendleft(folder)
                            raise
                    for future in wait(running, return_when=FIRST_COMPLETED).done:
                        result = _result(running[future], future, 1)
                        del running[future]
                        yield result
            except BrokenProcessPool:
                for future, folder in running.items():
                    if future.done() and not future.exception():
                        yield _result(folder, future, 1)
                    else:
                        suspects.append(folder)
        while suspects:
            yield _alone(suspects.pop(0), job)


def _alone(folder: Path, job: Job) -> BatchResult:
    for attempt in range(2, ATTEMPTS + 1):
        with _pool(1) as pool:
            try:
                return _result(folder, _submitted(pool, job, folder), attempt)
            except BrokenProcessPool:
                continue
    return BatchResult(folder, "lost", f"its worker died {ATTEMPTS} times (out of memory?)", attempts=ATTEMPTS)


def _submitted(pool: Executor, job: Job, folder: Path) -> Future[Outcome]:
    """Hand a job over; a worker that is started for it inherits that it does not hear Ctrl-C, from the beginning."""
    block = getattr(signal, "pthread_sigmask", None)
    before = block(signal.SIG_BLOCK, {signal.SIGINT}) if block else None
    try:
        return pool.submit(guarded, job, str(folder))
    finally:
        if block:
            block(signal.SIG_SETMASK, before)


@contextlib.contextmanager
def _pool(count: int) -> Iterator[Executor]:
    """Fresh processes (spawned: a fork would inherit threads and open files). Ctrl-C ends them at once."""
    pool = ProcessPoolExecutor(count, mp_context=multiprocessing.get_context("spawn"), initializer=_mind_signals)
    try:
        yield pool
    except BaseException:
        for process in list((pool._processes or {}).values()):
            process.terminate()
        raise
    finally:
        pool.shutdown(cancel_futures=True)


def _mind_signals() -> None:
    """In a worker: Ctrl-C is the parent's to hear; when it then ends us, a job clears away what is half-written."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    signal.signal(signal.SIGTERM, _leave)


def _leave(number: int, frame: FrameType | None) -> None:
    if not _at_work.is_set():
        os._exit(_ENDED)
    if hasattr(signal, "alarm"):
        signal.alarm(_CLEARING_S)  # a job that does not come to an end by itself is killed
    raise _Ended


def _on_cluster(folders: Sequence[Path], job: Job, address: str) -> Generator[BatchResult, None, None]:
    try:
        from distributed import Client, KilledWorker
    except ImportError:
        raise OutputError.of(
            "no-distributed",
            "a cluster needs dask.distributed, which is not installed",
            fix="in plyline's own folder: .venv/bin/pip install -e '.[cluster]'",
        ) from None
    try:
        client = Client(address, timeout=_CONNECT_S)
    except (OSError, ValueError, TimeoutError) as fault:
        raise OutputError.of(
            "no-cluster",
            f"the cluster at {address} does not answer ({fault})",
            fix="start it (`dask scheduler`, `dask worker ADDRESS`), and check the address",
        ) from None
    with client:
        # A killed worker's job is run again by the scheduler itself, up to its setting `allowed-failures`. Equal
        # calls must not be taken for one ("pure").
        executor = client.get_executor(pure=False)
        running = {executor.submit(guarded, job, str(folder)): folder for folder in dict.fromkeys(folders)}
        for future in as_completed(running):
            try:
                yield _result(running[future], future, 1)
            except KilledWorker as fault:
                yield BatchResult(running[future], "lost", f"its worker died again and again: {fault}")
