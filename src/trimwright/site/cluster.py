"""Rooms built by the workers of a Dask cluster, which see the same files as this machine."""

from __future__ import annotations

import asyncio
import logging
import secrets
import time
from collections.abc import Generator, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from trimwright import __version__, cache
from trimwright.errors import SchedulerError
from trimwright.site.records import FOLDER, Failure, Outcome
from trimwright.site.room import RoomTask, build_room

if TYPE_CHECKING:
    from distributed import Client, Future

__all__ = ["build_seen", "built_by_cluster"]

PATIENCE = 10.0
"""Seconds for a scheduler to answer, and for its first worker to be there."""

FIRST_WORD = 60.0
"""Seconds for a worker to load the program and say what it is: from a disk that is far away this takes a while."""

DESERTED = 60.0
"""Seconds without any worker after which a run that has begun gives up: those that died may be started again."""

AHEAD = 2
"""Tasks handed out for each thread of the workers: one that it is at, and one that waits."""

PROBE = "probe"


def built_by_cluster(
    tasks: Iterator[RoomTask], address: str, out: Path
) -> Generator[tuple[RoomTask, Outcome], None, None]:
    """Outcomes as they come; so many tasks are handed out as the workers can be at, and a room lost is begun again.

    Raises SchedulerError if the scheduler cannot be reached, has no workers, or these do not see the same files, and if
    the scheduler or all workers are lost midway.
    """
    try:
        from distributed import KilledWorker
    except ImportError:
        raise SchedulerError("--scheduler needs the extra 'cluster': pip install 'trimwright[cluster]'") from None
    with _quiet(), _client(address) as client:
        _check_workers(client, address, out)
        given: dict[Future, RoomTask] = {}

        def hand_out() -> None:
            most = AHEAD * max(1, _threads(client, address))
            while len(given) < most and (task := next(tasks, None)) is not None:
                given[client.submit(build_seen, task, _program(), pure=False)] = task

        hand_out()
        while given:
            for future in _done_next(client, address, list(given)):
                task = given.pop(future)
                try:
                    outcome = future.result()
                except KilledWorker:
                    outcome = Failure(f"{task.file}: every worker that built it ended; is there memory?", True)
                yield task, outcome
            hand_out()


def _done_next(client: Client, address: str, given: list[Future]) -> set[Future]:
    """Those that are done next, however long that takes while there is a scheduler and a worker."""
    from distributed import CancelledError, wait

    seen = time.monotonic()
    while True:
        try:
            return set(wait(given, timeout=min(PATIENCE, DESERTED), return_when="FIRST_COMPLETED").done)
        except CancelledError:
            raise _gone(address) from None
        except TimeoutError:
            if _threads(client, address):
                seen = time.monotonic()
            elif time.monotonic() - seen > DESERTED:
                raise SchedulerError(f"{address}: all workers are gone; start some, and run again to go on") from None


def _threads(client: Client, address: str) -> int:
    """How many rooms the workers can be at."""
    return sum(_at_work(client, address).values())


def _at_work(client: Client, address: str) -> dict[str, int]:
    """The threads of each worker, by its address."""

    async def asked() -> dict[str, int]:
        return await asyncio.wait_for(client.nthreads(), PATIENCE)

    try:
        return {worker: int(threads) for worker, threads in client.sync(asked).items()}
    except (OSError, TimeoutError):
        raise _gone(address) from None


def _gone(address: str) -> SchedulerError:
    return SchedulerError(f"{address}: the scheduler is gone; run again to go on")


@contextmanager
def _quiet() -> Iterator[None]:
    """The library logs a lost connection as a traceback; here it is one message of our own."""
    before = logging.root.manager.disable
    logging.disable(logging.CRITICAL)
    try:
        yield
    finally:
        logging.disable(before)


@contextmanager
def _client(address: str) -> Iterator[Client]:
    """A connection; what is still handed out when it ends is called back."""
    from distributed import Client

    try:
        asyncio.run(asyncio.wait_for(_answer(address), PATIENCE))
        client = Client(address, timeout=PATIENCE)
    except TimeoutError:
        raise SchedulerError(f"{address}: no scheduler answers there within {PATIENCE:g} s") from None
    except (OSError, ValueError) as error:
        raise SchedulerError(f"{address}: no scheduler answers there: {_first_line(error)}") from None
    except Exception:  # the library takes the first bytes of whatever is there for the size of a message
        raise SchedulerError(f"{address}: what answers there is no scheduler") from None
    with client:
        yield client


async def _answer(address: str) -> None:
    """Returns when a scheduler has answered; a client itself waits for ever for one that accepts and says nothing."""
    from distributed import Security
    from distributed.comm import connect

    (await connect(address, timeout=PATIENCE, **Security().get_connection_args("client"))).abort()


def _first_line(error: Exception) -> str:
    return (str(error) or type(error).__name__).splitlines()[0]


def _check_workers(client: Client, address: str, out: Path) -> None:
    """The workers must run this program, and see in the folder of the packs what this machine writes there."""
    try:
        client.wait_for_workers(1, timeout=PATIENCE)
    except TimeoutError:
        raise SchedulerError(f"{address}: the scheduler has no workers; start some: dask worker {address}") from None
    probe, token = out.absolute() / FOLDER / PROBE, secrets.token_hex(8)
    probe.write_text(token)
    try:
        answers = client.sync(_asked, client, sorted(_at_work(client, address)), probe)
    finally:
        probe.unlink()
    for worker, answer in answers.items():
        if isinstance(answer, str):
            raise SchedulerError(f"{worker}: {answer}")
        if answer != (*_program(), token):
            raise SchedulerError(f"{worker}: {_odd(answer[:-1], _program(), out)}")


async def _asked(client: Client, workers: list[str], probe: Path) -> dict[str, tuple[str, ...] | str]:
    """What each worker tells of itself, or what is wrong with it in words; all are asked at the same time."""

    async def ask(worker: str) -> tuple[str, ...] | str:
        try:
            found: dict[str, tuple[str, ...]] = await asyncio.wait_for(
                client.run(_seen, probe, workers=[worker]), FIRST_WORD
            )
            return found[worker]
        except (TimeoutError, OSError):
            return f"this worker does not answer within {FIRST_WORD:g} s; start it anew, or end it, and run again"
        except Exception as error:  # whatever stops it from loading the function that it is asked to call
            return f"this worker cannot run trimwright {__version__}: {_first_line(error)}; install the same everywhere"

    return dict(zip(workers, await asyncio.gather(*map(ask, workers)), strict=True))


def _seen(probe: Path) -> tuple[str, ...]:
    """On a worker: which program it is, and what it reads where the machine that asks has written."""
    try:
        return (*_program(), probe.read_text())
    except OSError:
        return (*_program(), "")


def _program() -> tuple[str, str]:
    """Which program this is: its version, and the sum of its files, which tell apart two of one version."""
    return __version__, cache.source()


def _odd(has: tuple[str, ...], wanted: tuple[str, str], out: Path) -> str:
    """What is wrong with a worker that runs some program, or else with what it sees."""
    if has[0] != wanted[0]:
        return f"this worker has trimwright {has[0]}, not {wanted[0]}; install the same everywhere"
    if has != wanted:
        return f"this worker's trimwright {has[0]} is not the one here, though of that version; install one everywhere"
    return f"this worker does not see {out.absolute()}; workers and this machine must share their files"


def build_seen(task: RoomTask, wanted: tuple[str, str]) -> Outcome:
    """On a worker, which may have come later than those that were asked: the same checks, then the room."""
    if wanted != _program() or not task.file.is_file() or not task.place.parent.is_dir():
        return Failure(f"{task.file}: {_odd(_program(), wanted, task.place.parent)}", True)
    return build_room(task)
