#!/usr/bin/env python3
"""From starting the program to a host that answers: with no book yet, and with a book of several tastings. Timings are printed, never asserted.

    start_host.py --program BUILD/oddplate [--times 30]
"""

import argparse
import json
import pathlib
import socket
import statistics
import subprocess
import sys
import tempfile
import time

sys.path.insert(0, str(pathlib.Path(__file__).parent.parent / "web"))
from load import memory_mb  # noqa: E402

PLAN = {"title": "t", "versions": [{"id": "current"}, {"id": "new"}], "tasters": 60, "rounds": [{"method": "triangle", "spots": ["a", "b", "c", "d"]}]}


def start_ms(program, book):
    """Till a connection is taken at the address that it says; and what the host needs of memory by then."""
    began = time.perf_counter()
    process = subprocess.Popen([program, "host", "--port", "0", "--book", str(book), "--json"], stdout=subprocess.PIPE, text=True)
    port = int(json.loads(process.stdout.readline())["address"].rsplit(":", 1)[1])
    socket.create_connection(("127.0.0.1", port)).close()
    took, memory = (time.perf_counter() - began) * 1000, memory_mb(process.pid)
    process.terminate()
    process.wait()
    process.stdout.close()
    return took, memory


def main():
    arguments = argparse.ArgumentParser()
    arguments.add_argument("--program", required=True)
    arguments.add_argument("--times", type=int, default=30)
    given = arguments.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        folder = pathlib.Path(folder)
        plan, full = folder / "plan.json", folder / "full.sqlite"
        plan.write_text(json.dumps(PLAN), encoding="utf-8")
        for _ in range(20):
            tasting = json.loads(subprocess.check_output([given.program, "new", str(plan), "--book", str(full), "--json"]))["tasting"]
            subprocess.check_call([given.program, "draw", tasting, "--book", str(full)], stdout=subprocess.DEVNULL)
        for what, books in (("no book yet", [folder / f"{n}.sqlite" for n in range(given.times)]), ("20 tastings of 60 people", [full] * given.times)):
            runs = [start_ms(given.program, book) for book in books]
            times = sorted(took for took, _ in runs)
            print(f"{what}: median {statistics.median(times):.1f} ms from start to listening, slowest of {len(times)} {times[-1]:.1f} ms; {max(mb for _, mb in runs):.0f} MB")


if __name__ == "__main__":
    main()
