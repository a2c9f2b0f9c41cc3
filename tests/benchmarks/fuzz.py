"""Search, guided by what code is reached, for content that is neither answered nor refused plainly.

    python3 tests/benchmarks/fuzz.py                            every door, 30 s each
    python3 tests/benchmarks/fuzz.py --seconds 120 plan card    two of them

It needs `atheris`, which the project does not depend on: install it beside the tests' packages.
No part of the tests: what it finds becomes one. Doors are those of `tests/support/doors.py`; a
line for each says how many contents were tried. Content that is at fault is written to a file in
the folder `--keep` (here), whose name is printed, and the exit status is then 1.
"""

import argparse
import random
import re
import subprocess
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path

SUPPORT = Path(__file__).resolve().parents[1] / "support"
DOOR_NAMES = ("profile", "plan", "card", "picture", "address", "verdict")
LONGEST_S = 20
LARGEST_MB = 3000
ODD_WORDS = (
    "nan", "inf", "-1", "0", "1e308", "-0.0", "1e-320", "9223372036854775808", "true", "[]", "{}",
    '"', "'", "[[", "]]", "=", ",", ".", "%00", "&", "null", "1/0", "0/1", "24000/1001", "1:360:1",
)


def dictionary(samples: Sequence[bytes]) -> str:
    """Words for the search to try: keys of the samples, and odd values."""
    text = b"\n".join(samples).decode("utf-8", "ignore")
    words = {*re.findall(r"[a-z][a-z0-9_]{3,40}", text), *ODD_WORDS}
    return "".join(
        '"{}"\n'.format(word.replace("\\", "\\\\").replace('"', '\\"')) for word in sorted(words)
    )


def search(door: str, settings: Sequence[str]) -> None:
    """Search behind one door; ends this process."""
    import atheris

    sys.path.insert(0, str(SUPPORT))
    with atheris.instrument_imports(include=["bandcheck", "dashboard"]):
        import doors

    def tried(content: bytes) -> None:
        doors.outcome(door, content)

    def changed(content: bytes, longest: int, seed: int) -> bytes:
        if seed % 2:
            return atheris.Mutate(content, longest)
        return doors.spoiled(content, random.Random(seed))[:longest]

    atheris.Setup([sys.argv[0], *settings], tried, custom_mutator=changed)
    atheris.Fuzz()


def searched(door: str, *, seconds: int, keep: Path) -> bool:
    """Whether nothing was found behind a door in a time."""
    import doors

    with tempfile.TemporaryDirectory() as folder:
        corpus = Path(folder, "corpus")
        corpus.mkdir()
        known = doors.samples(door)
        for number, content in enumerate(known):
            (corpus / str(number)).write_bytes(content)
        words = Path(folder, "words")
        words.write_text(dictionary(known), encoding="utf-8")
        ended = subprocess.run(
            [sys.executable, __file__, "--inside", door, str(corpus), f"-dict={words}",
             f"-max_total_time={seconds}", f"-artifact_prefix={keep.resolve()}/{door}-",
             f"-timeout={LONGEST_S}", f"-rss_limit_mb={LARGEST_MB}", "-seed=1",
             "-print_final_stats=1",
             f"-max_len={max(20_000, 2 * max(map(len, known)))}"],
            capture_output=True, text=True, errors="replace", check=False,
        )
    tries = re.search(r"number_of_executed_units: (\d+)", ended.stderr)
    reached = re.findall(r"cov: (\d+)", ended.stderr)
    print(f"{door:8} {tries[1] if tries else '?':>9} tries, {reached[-1] if reached else '?':>6} "
          f"places reached: {'nothing found' if ended.returncode == 0 else 'FOUND'}", flush=True)
    if ended.returncode:
        print(ended.stdout[-3000:] + ended.stderr[-1500:])
    return ended.returncode == 0


def main() -> int:
    """Search behind the doors that were asked for."""
    if sys.argv[1:2] == ["--inside"]:
        search(sys.argv[2], sys.argv[3:])
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("doors", nargs="*", choices=[[], *DOOR_NAMES], metavar="DOOR",
                        help=f"one of {', '.join(DOOR_NAMES)}; none: all")
    parser.add_argument("--seconds", type=int, default=30, help="for each door")
    parser.add_argument("--keep", type=Path, default=Path(), help="folder for what is found")
    asked = parser.parse_args()
    try:
        import atheris  # noqa: F401
    except ImportError:
        print("fuzz.py: needs atheris, which is not installed: pip install atheris",
              file=sys.stderr)
        return 2
    sys.path.insert(0, str(SUPPORT))
    asked.keep.mkdir(parents=True, exist_ok=True)
    clean = [
        searched(door, seconds=asked.seconds, keep=asked.keep) for door in asked.doors or DOOR_NAMES
    ]
    return 0 if all(clean) else 1


if __name__ == "__main__":
    sys.exit(main())
