"""Work in processes of its own, so that both cores of a machine are used and Ctrl-C ends all."""

from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from contextlib import contextmanager
from multiprocessing import active_children, get_context

__all__ = ["process_pool"]


def _leave_interrupts_to_the_parent() -> None:
    import signal

    signal.signal(signal.SIGINT, signal.SIG_IGN)


@contextmanager
def process_pool(workers: int) -> Iterator[ProcessPoolExecutor]:
    """Pool of processes that ends with its block, at once where the block is interrupted.

    Threads would gain nothing: the work is many short steps, between which each waits for the
    others. A process of its own is a fresh Python, never a copy of one whose threads it lacks.

    Parameters
    ----------
    workers
        Most processes.

    Yields
    ------
    ProcessPoolExecutor
        The pool; its processes start with the first work that they are given.
    """
    others = set(active_children())
    pool = ProcessPoolExecutor(
        workers, mp_context=get_context("spawn"), initializer=_leave_interrupts_to_the_parent
    )
    try:
        yield pool
    except BaseException:
        for child in set(active_children()) - others:
            child.terminate()
        raise
    finally:
        pool.shutdown(cancel_futures=True)
