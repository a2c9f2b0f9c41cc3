"""Entry of the command line: `bandcheck` and `python -m bandcheck`."""

import os
import sys

__all__ = ["main"]

_INTERRUPTED = 130


def main() -> int:
    """Run the command line on this process's arguments.

    Returns
    -------
    int
        Exit status: 0 done, 1 our own fault, 2 bad input, 3 asked for by `--fail-on`,
        130 interrupted.
    """
    try:
        _end_like_ctrl_c()
        # No matrix in here is worth threads, which take longer to start than numpy to import.
        os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
        from bandcheck.cli.main import exit_status

        return exit_status()
    except KeyboardInterrupt:  # before or after the part that reports it
        return _INTERRUPTED


def _end_like_ctrl_c() -> None:
    """Make a request to end unwind the stack, so that no half-written file stays behind."""
    import signal

    for name in ("SIGTERM", "SIGHUP"):  # the second is not known everywhere
        number = getattr(signal, name, None)
        if number is not None and signal.getsignal(number) is signal.SIG_DFL:
            signal.signal(number, signal.default_int_handler)


if __name__ == "__main__":
    sys.exit(main())
