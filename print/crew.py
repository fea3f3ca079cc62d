"""Whoever works on a fleet: processes of this machine, or a cluster whose workers have been looked at before."""

import os
import threading
import time
import types
import warnings
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from functools import cache
from typing import Any, Protocol

LOOKS = 1.0  # seconds between a worker's looks whether the main process is still there
PATIENCE = 10  # seconds to find the cluster
AHEAD = 3  # tasks for each thread of a cluster that are on their way at once
HOW = ("start it in the project’s folder with the same packages: PYTHONPATH=. python -m distributed.cli.dask_scheduler, "
       "PYTHONPATH=. python -m distributed.cli.dask_worker ADDRESS (`docs/sheets.md` has the three commands)")



class Run(Protocol):
    """Calls a function with each tuple of arguments, and gives the results in order; ``light`` work is not worth starting a process for."""

    def __call__(self, function: Callable[..., Any], tasks: Iterable[tuple[Any, ...]], light: bool = False) -> Iterator[Any]: ...


class NoCluster(RuntimeError):
    """The cluster that was asked for can't be had, or can't do this work."""


@contextmanager
def crew(cluster: str = "", program: str = "", most: int = 0) -> Iterator[Run]:
    """Who calls a function with each tuple of arguments, many at once.

    ``program`` is what the cluster's own copy of the project must be; ``most`` is how many tasks there are, if that is known.
    """
    if cluster:
        with _client(cluster) as client:
            _check(client, cluster, program)
            yield lambda function, tasks, light=False: _on_cluster(client, function, tasks)
    else:
        yield lambda function, tasks, light=False: _here(function, tasks, 1 if light else most)


def _here(function: Callable[..., Any], tasks: Iterable[tuple[Any, ...]], most: int) -> Iterator[Any]:
    from joblib import Parallel, cpu_count, delayed

    count = max(1, min(cpu_count(), most or cpu_count()))
    if count == 1:
        return (function(*task) for task in tasks)
    # A run that ends early says itself why; joblib would add what was on its way.
    warnings.filterwarnings("ignore", message=".*tasks which were still being processed", category=UserWarning)
    work = delayed(_watched)
    results: Iterator[Any] = Parallel(n_jobs=count, return_as="generator")(work(os.getpid(), function, task) for task in tasks)
    return results


def _watched(main: int, function: Callable[..., Any], task: tuple[Any, ...]) -> Any:
    if os.getpid() != main:
        _end_with(main)
    return function(*task)


@cache
def _end_with(main: int) -> None:
    """A worker whose main process was killed ends too, in the midst of its work; else it would wait for more for minutes."""
    def look() -> None:
        while os.getppid() == main:
            time.sleep(LOOKS)
        os._exit(1)

    threading.Thread(target=look, daemon=True).start()


@contextmanager
def _client(address: str) -> Iterator[Any]:
    try:
        from dask.distributed import Client
    except ImportError:
        raise NoCluster("--cluster needs Dask, which a plain install leaves out: pip install dask distributed") from None
    try:
        client = Client(address, timeout=PATIENCE)
    except (OSError, ValueError) as wrong:
        raise NoCluster(f"no cluster answers at {address}: {wrong}") from None
    with client:
        yield client


def _check(client: Any, address: str, program: str) -> None:
    """Workers or a scheduler without the project would take the work and never end it, without a word."""
    there = types.FunctionType(_program_there.__code__, {"__builtins__": __builtins__}, "program_there")
    there.__module__ = "__main__"  # so that it travels whole: where the project lacks, its own modules can't be named
    found = {"the scheduler": client.run_on_scheduler(there), **client.run(there)}
    if len(found) == 1:
        raise NoCluster(f"no worker has joined the cluster at {address}: {HOW}")
    for who, has in found.items():
        if not has:
            raise NoCluster(f"{who} has no copy of this project: {HOW}")
        if who != "the scheduler" and has != program:
            raise NoCluster(f"{who} has another version of this project and would make other packs: give it the same files, and restart it")


def _program_there() -> str:
    import importlib.util

    if importlib.util.find_spec("print") is None:
        return ""
    try:
        from print.night import program
    except ImportError as wrong:
        return f"lacks {wrong.name}"
    return program()


_LOCK = threading.Lock()


def _one_at_a_time(function: Callable[..., Any], task: tuple[Any, ...]) -> Any:
    """What is remembered from one truck to the next is no two threads' at once, and Python runs one at a time anyway."""
    with _LOCK:
        return function(*task)


def _on_cluster(client: Any, function: Callable[..., Any], tasks: Iterable[tuple[Any, ...]]) -> Iterator[Any]:
    """A few tasks a thread are on their way, so that neither side holds a whole fleet."""
    room = AHEAD * max(1, sum(client.nthreads().values()))
    waiting: deque[Any] = deque()
    for task in tasks:
        waiting.append(client.submit(_one_at_a_time, function, task, pure=False))
        if len(waiting) >= room:
            yield waiting.popleft().result()
    while waiting:
        yield waiting.popleft().result()
