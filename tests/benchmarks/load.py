"""Twenty users who move sliders at once, each answer held against the one computed in process.

    python3 tests/benchmarks/load.py                      `bandcheck dashboard`, for 60 s
    python3 tests/benchmarks/load.py --seconds 30 --json
    python3 tests/benchmarks/load.py --workers 2          gunicorn; one worker is killed half-way

On loopback alone. It ends with status 1 if any answer was wrong or could not be had. A question
whose connection breaks is asked again, as the page does (`dashboard/assets/connection.js`).
The second form needs the extra `deploy`. Memory is read from /proc, so on Linux alone.
"""

import argparse
import json
import os
import random
import signal
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Iterator, Sequence
from http.client import HTTPConnection, HTTPException
from pathlib import Path
from typing import Any

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "support"))
from dash_posts import callbacks, posted

from dashboard.app import create_app

ANGLES = ("45", "90", "144", "172.8", "180", "270")
PHASES_MS = ("0", "3.2", "11", "20.5")
MOST_REPEATS = 3
PATH = "/_dash-update-component"
Known = dict[bytes, Any]


class Recorder:
    """Stands where a client does and keeps what would be posted."""

    def post(self, _path: str, *, json: object) -> object:
        return json


def known_answers() -> Known:
    """Bodies of requests, and what a screen's own process answers to each."""
    client = create_app().server.test_client()
    listed = callbacks(client)
    verdict, row, tear = (
        next(each for name, each in listed.items() if name.startswith(start))
        for start in ("..verdict.children", "map-row.data", "..tear.figure")
    )
    asked: list[tuple[Any, dict[str, Any], str]] = []
    for angle in ANGLES:
        question = {"wall": "stage-main-2.6", "camera": "cine-a-wide", "fps": "24",
                    "shutter": angle, "rates": "24,25,48"}
        base = {"question.data": question, "answer.data": question, "theme.data": "dark"}
        asked.append((verdict, base, "question.data"))
        asked += [
            (row, {**base, "map-task.data": {"run": 1, "step": step, "level": ""}}, "map-task.data")
            for step in range(3)
        ]
        asked += [(tear, {**base, "phase.value": phase}, "phase.value") for phase in PHASES_MS]
    known: Known = {}
    for callback, values, changed in asked:
        body = json.dumps(posted(Recorder(), callback, values, changed=changed)).encode()
        answer = client.post(PATH, data=body, content_type="application/json")
        assert answer.status_code == 200, (callback["output"], answer.status_code)
        known[body] = answer.json
    return known


def free_port() -> int:
    with socket.create_server(("127.0.0.1", 0)) as listening:
        return int(listening.getsockname()[1])


def started(port: int, workers: int) -> subprocess.Popen[bytes]:
    """The dashboard as it is served, once it answers."""
    command = ["-m", "bandcheck", "dashboard", "--port", str(port)] if not workers else [
        "-m", "gunicorn", "--workers", str(workers), "--bind", f"127.0.0.1:{port}",
        "--limit-request-line", "0", "dashboard.app:create_server()",
    ]
    server = subprocess.Popen(
        [sys.executable, *command], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )
    for _ in range(600):
        try:
            answer_of(port, b"", "/healthz")
            return server
        except (OSError, HTTPException):
            if server.poll() is not None:
                break
            time.sleep(0.1)
    server.kill()
    raise SystemExit("load.py: the dashboard did not start (gunicorn: install bandcheck[deploy])")


def answer_of(port: int, body: bytes, path: str = PATH) -> bytes:
    connection = HTTPConnection("127.0.0.1", port, timeout=60)
    try:
        if body:
            connection.request("POST", path, body, {"Content-Type": "application/json"})
        else:
            connection.request("GET", path)
        answer = connection.getresponse()
        content = answer.read()
    finally:
        connection.close()
    if answer.status != 200:
        raise HTTPException(f"status {answer.status}")
    return content


def children(pid: int) -> list[int]:
    return [int(each) for task in Path(f"/proc/{pid}/task").iterdir()
            for each in (task / "children").read_text().split()]


def memory_mb(pid: int) -> float:
    """Memory that a server and its workers hold [MB]."""
    pages = sum(int(Path(f"/proc/{each}/statm").read_text().split()[1])
                for each in (pid, *children(pid)))
    return pages * os.sysconf("SC_PAGE_SIZE") / 2**20


class Tally:
    """What all users saw."""

    def __init__(self) -> None:
        self.lock = threading.Lock()
        self.seconds: list[float] = []
        self.wrong = self.lost = self.repeated = 0

    def ask(self, port: int, body: bytes, expected: object) -> None:
        start = time.perf_counter()
        for repeat in range(MOST_REPEATS + 1):
            try:
                right = json.loads(answer_of(port, body)) == expected
                break
            except (OSError, HTTPException):
                with self.lock:
                    self.repeated += 1
                time.sleep(0.2 * repeat)
        else:
            with self.lock:
                self.lost += 1
            return
        with self.lock:
            self.wrong += not right
            self.seconds.append(time.perf_counter() - start)


def used(port: int, known: Known, tally: Tally, *, user: int, until: float) -> None:
    chance = random.Random(user)
    bodies = list(known)
    while time.monotonic() < until:
        body = chance.choice(bodies)
        tally.ask(port, body, known[body])


def memories(server: subprocess.Popen[bytes], *, seconds: float, kill: bool) -> Iterator[float]:
    """Memory after a tenth of the time, in the middle and at nine tenths."""
    for share in (0.1, 0.4, 0.4):
        time.sleep(share * seconds)
        yield memory_mb(server.pid)
        if kill:
            os.kill(children(server.pid)[0], signal.SIGKILL)
            kill = False


def figures(*, seconds: float, users: int, workers: int) -> dict[str, float]:
    """Load a dashboard for a time."""
    known = known_answers()
    port = free_port()
    server = started(port, workers)
    tally = Tally()
    until = time.monotonic() + seconds
    threads = [
        threading.Thread(target=used, args=(port, known, tally), kwargs={"user": user,
                                                                         "until": until})
        for user in range(users)
    ]
    try:
        for each in threads:
            each.start()
        held = list(memories(server, seconds=seconds, kill=workers > 1))
        for each in threads:
            each.join()
    finally:
        server.send_signal(signal.SIGTERM)
        server.wait(timeout=60)
    taken = np.array(tally.seconds)
    return {
        "users": users, "seconds": seconds, "workers_killed": int(workers > 1),
        "answers": len(taken), "answers_per_s": len(taken) / seconds,
        "p50_ms": 1e3 * float(np.median(taken)), "p99_ms": 1e3 * float(np.quantile(taken, 0.99)),
        "wrong": tally.wrong, "lost": tally.lost, "asked_again": tally.repeated,
        "memory_start_mb": held[0], "memory_middle_mb": held[1], "memory_end_mb": held[2],
    }


def main(arguments: Sequence[str] | None = None) -> int:
    """Print the figures."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--seconds", type=float, default=60)
    parser.add_argument("--users", type=int, default=20)
    parser.add_argument("--workers", type=int, default=0, help="0: bandcheck dashboard itself")
    parser.add_argument("--json", action="store_true")
    asked = parser.parse_args(arguments)
    found = figures(seconds=asked.seconds, users=asked.users, workers=asked.workers)
    if asked.json:
        print(json.dumps(found, indent=2))
    else:
        for name, value in found.items():
            print(f"{name:18} {value:10.6g}")
    return int(found["wrong"] + found["lost"] > 0)


if __name__ == "__main__":
    sys.exit(main())
