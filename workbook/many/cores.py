"""Work shared among all cores. Results come back as they are done; no more work waits at a time than the cores can begin."""

import gc
import multiprocessing
import os
import signal
from collections import deque
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from typing import TypeVar

Task = TypeVar("Task")
Answer = TypeVar("Answer")

FILES_A_PROCESS = 50  # then it makes room for a fresh one, so that memory stays flat
WAITING_A_CORE = 2


def in_parallel(
    work: Callable[[Task], Answer], tasks: Sequence[Task], lost: Answer, cores: int | None = None,
) -> Iterator[tuple[Task, Answer]]:
    """Each task with its answer, in the order in which they are done; `lost` for one that takes its process down with it."""
    if len(tasks) <= 1:
        yield from ((task, work(task)) for task in tasks)
        return
    done = set()
    try:
        for number, answer in _shared(work, tasks, min(cores or os.cpu_count() or 1, len(tasks))):
            done.add(number)
            yield tasks[number], answer
    except BrokenProcessPool:
        for number in (number for number in range(len(tasks)) if number not in done):
            yield tasks[number], _alone(work, tasks[number], lost)


def _shared(work: Callable[[Task], Answer], tasks: Sequence[Task], cores: int) -> Iterator[tuple[int, Answer]]:
    waiting = deque(enumerate(tasks))
    pool = _pool(cores)
    running: dict[Future[Answer], int] = {}
    try:
        while waiting or running:
            while waiting and len(running) < cores * WAITING_A_CORE:
                number, task = waiting.popleft()
                with _undisturbed():
                    running[pool.submit(work, task)] = number
            for future in wait(running, return_when=FIRST_COMPLETED).done:
                yield running.pop(future), future.result()
    finally:
        pool.shutdown(cancel_futures=True)


def _alone(work: Callable[[Task], Answer], task: Task, lost: Answer) -> Answer:
    """The answer of a process of its own, after another has broken down: the task may be the one that did it."""
    with _pool(1) as pool:
        try:
            with _undisturbed():
                future = pool.submit(work, task)
            return future.result()
        except BrokenProcessPool:
            return lost


def _pool(cores: int) -> ProcessPoolExecutor:
    return ProcessPoolExecutor(
        cores, multiprocessing.get_context("spawn"), initializer=_begin, max_tasks_per_child=FILES_A_PROCESS)


@contextmanager
def _undisturbed() -> Iterator[None]:
    """Ctrl-C waits a moment: a process begun meanwhile never hears of it, not even before its first line."""
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _begin() -> None:
    """Ctrl-C is for the process that shares out the work: it lets those at work finish what they write."""
    gc.enable()
    signal.signal(signal.SIGINT, signal.SIG_IGN)
