#!/usr/bin/env python3
"""Phones in an open loop: answers arrive on a clock, whether the host keeps up or not, beside idle connections and half-sent ones on which a byte comes now
and then; each comes again as soon as the host hangs up. No answer may be lost, and none may wait for the rude ones to be gone. How long each took, and how
much memory the host needed, is printed (beside the disk's own fsync, which sets the floor).

    load.py --program BUILD/oddplate [--seconds 60] [--rate 100] [--phones 200] [--idle 500] [--half 200]
"""

import argparse
import asyncio
import json
import os
import pathlib
import statistics
import tempfile
import time

from phone import CHECKS, Host, check, phone_links

SILENCE_ENDS_MS = 5000   # of a connection on which nothing comes
SPOTS = ["a", "b", "c", "d", "e", "f", "g", "h"]


def plan(phones):
    return {"title": "t", "versions": [{"id": "current"}, {"id": "new"}], "tasters": phones, "rounds": [{"method": "two-afc", "attribute": "saltier", "stronger": "new", "spots": SPOTS}] * 4}


def fsync_ms(folder):
    path = pathlib.Path(folder) / "probe"
    times = []
    with open(path, "wb") as file:
        for _ in range(30):
            file.write(b"x" * 4096)
            began = time.perf_counter()
            file.flush()
            os.fsync(file.fileno())
            times.append((time.perf_counter() - began) * 1000)
    return statistics.median(times)


async def connect(port, n):
    """Each from an address of its own, as phones are: the host allows so many connections an address."""
    return await asyncio.open_connection("127.0.0.1", port, local_addr=(f"127.0.{1 + n // 250}.{1 + n % 250}", 0))


async def one_answer(port, n, path, code, due):
    reader, writer = await connect(port, n)
    body = f"pick={code}".encode()
    here = f"127.0.0.1:{port}"
    writer.write((f"POST {path} HTTP/1.1\r\nHost: {here}\r\nOrigin: http://{here}\r\nContent-Type: application/x-www-form-urlencoded\r\n"
                  f"Content-Length: {len(body)}\r\nConnection: close\r\n\r\n").encode() + body)
    await writer.drain()
    status = await reader.readline()
    took = (time.perf_counter() - due) * 1000
    writer.close()
    return b" 303 " in status, took


async def rude(port, n, is_half, wait, open_now):
    await asyncio.sleep(wait)   # who all come at once are all hung up on at once, and it is their coming back that would be measured
    while True:
        reader, writer = await connect(port, n)
        open_now.add(n)
        if is_half:
            writer.write(b"POST /t/x/1 HTTP/1.1\r\nX: ")
        try:
            while True:
                try:
                    if await asyncio.wait_for(reader.read(4096), 2) == b"":
                        break
                except TimeoutError:
                    if is_half:
                        writer.write(b"a")
        except ConnectionError:
            pass   # hung up while a byte was on its way
        finally:
            open_now.discard(n)
            writer.close()


async def storm(port, jobs, rate, idle, half):
    open_now, fewest = set(), [0]
    beside = [asyncio.create_task(rude(port, 1000 + n, n >= idle, n * SILENCE_ENDS_MS / 1000 / (idle + half), open_now)) for n in range(idle + half)]
    await asyncio.sleep(SILENCE_ENDS_MS / 1000 + .2)
    fewest[0] = len(open_now)
    begin = time.perf_counter()

    async def send(k, job):
        due = begin + k / rate
        await asyncio.sleep(max(0, due - time.perf_counter()))
        fewest[0] = min(fewest[0], len(open_now))
        return await one_answer(port, *job, due)

    done = await asyncio.gather(*(send(k, job) for k, job in enumerate(jobs)))
    check("the rude ones were there to the end", not any(each.done() for each in beside))
    for each in beside:
        each.cancel()
    await asyncio.gather(*beside, return_exceptions=True)
    return done, fewest[0]


def memory_mb(pid):
    for line in pathlib.Path(f"/proc/{pid}/status").read_text(encoding="utf-8").splitlines():
        if line.startswith("VmHWM"):
            return int(line.split()[1]) / 1024
    return 0.0


def main():
    arguments = argparse.ArgumentParser()
    arguments.add_argument("--program", required=True)
    for name, default in (("--seconds", 60), ("--rate", 100), ("--phones", 200), ("--idle", 500), ("--half", 200)):
        arguments.add_argument(name, type=int, default=default)
    given = arguments.parse_args()
    host = Host(given.program)
    cook = host.browser(host.links[0])
    cook.get("/").send_form("/tastings", plan=json.dumps(plan(given.phones)))
    tasting = cook.path.rsplit("/", 1)[1]
    cook.send_form(f"/tasting/{tasting}/draw")
    links, ballots = phone_links(cook, tasting), host.json("ballots", tasting)
    jobs = []
    for k in range(given.seconds * given.rate):
        phone, tray = k % given.phones, k // given.phones
        if tray < len(ballots[phone]["sets"]):
            jobs.append((phone, f"{links[phone]}/{tray + 1}", ballots[phone]["sets"][tray]["codes"][k % 2]))
    done, fewest = asyncio.run(storm(host.port, jobs, given.rate, given.idle, given.half))
    peak = memory_mb(host.process.pid)
    check("every answer was confirmed", all(kept for kept, _ in done), sum(not kept for kept, _ in done))
    worst = max(took for _, took in done)
    check("no answer waited for the rude ones to be hung up on", worst < SILENCE_ENDS_MS, worst)
    host.stop()
    missing = len(jobs) - sum(row["answered"] for row in [json.loads(host.run("close", tasting, "--yes", "--json"))])
    check("every confirmed answer is there", missing == 0, missing)
    times = sorted(took for _, took in done)
    at = lambda share: times[min(len(times) - 1, int(share * len(times)))]  # noqa: E731
    with tempfile.TemporaryDirectory() as folder:
        floor = fsync_ms(folder)
    print(f"{len(jobs)} answers at {given.rate} a second beside {given.idle} idle and {given.half} half-sent connections (never fewer than {fewest} at once): median {at(.5):.1f} ms, 99th percentile {at(.99):.1f} ms, "
          f"worst {times[-1]:.1f} ms (one fsync here {floor:.1f} ms); host's peak memory {peak:.0f} MB; {CHECKS[0]} checks hold")


if __name__ == "__main__":
    main()
