#!/usr/bin/env python3
"""The host is killed again and again while phones answer: every answer that a phone was told is kept is there, once, and is what was tapped.

    kill.py --program BUILD/oddplate
"""

import argparse
import http.client
import json
import threading

from phone import Browser, CHECKS, Host, check, phone_links

TASTERS, KILLS = 200, 4
PLAN = {"title": "t", "versions": [{"id": "current"}, {"id": "new"}], "tasters": TASTERS, "spares": 2,
        "rounds": [{"method": "triangle", "spots": ["a", "b", "c", "d"]}]}


class Phones:
    """All phones at once; each sends its next answer until it is told that it is kept."""

    def __init__(self, port, links, ballots):
        self.port, self.links, self.ballots = port, links, ballots
        self.confirmed, self.guard, self.retry = {}, threading.Condition(), threading.Event()

    def run_one(self, b):
        phone = Browser(self.port)
        for number, tray in enumerate(self.ballots[b]["sets"], 1):
            code = tray["codes"][(b + number) % 3]
            while not self.try_once(phone, f"{self.links[b]}/{number}", code):
                self.retry.wait(0.05)
            with self.guard:
                self.confirmed[b, number] = code
                self.guard.notify_all()

    @staticmethod
    def try_once(phone, path, code):
        try:
            return phone.post(path, {"pick": code}, follow=False).status == 303
        except (OSError, http.client.HTTPException):
            return False   # the host is gone; the phone keeps its answer and tries again

    def wait_for(self, count):
        with self.guard:
            self.guard.wait_for(lambda: len(self.confirmed) >= count, timeout=120)


def differing_answers(host, phones, tasting):
    """What paper says otherwise than a phone is there after the host was killed, and stays settled once somebody looked."""
    desk = host.browser(host.links[2])
    for ballot in (1, 2):
        desk.get(f"/tasting/{tasting}/desk")
        kept, tray = phones.confirmed[ballot - 1, 1], phones.ballots[ballot - 1]["sets"][0]
        desk.send_form(f"/tasting/{tasting}/desk", ballot=str(ballot), **{"tray-1": next(code for code in tray["codes"] if code != kept)})
    host.kill()
    host.start(host.port)
    desk.get(f"/tasting/{tasting}/desk")
    check("the desk still sees both after a kill", desk.text.count("the phone says") == 2 and f"the phone says {phones.confirmed[0, 1]}" in desk.text, desk.text)
    desk.send_form(f"/tasting/{tasting}/settle", ballot="1", set="1", stands="first")
    host.kill()
    host.start(host.port)
    desk.get(f"/tasting/{tasting}/desk")
    check("what was settled stays settled", desk.text.count("the phone says") == 1, desk.text)


def main():
    arguments = argparse.ArgumentParser()
    arguments.add_argument("--program", required=True)
    host = Host(arguments.parse_args().program)
    cook = host.browser(host.links[0])
    cook.get("/").send_form("/tastings", plan=json.dumps(PLAN))
    tasting = cook.path.rsplit("/", 1)[1]
    cook.send_form(f"/tasting/{tasting}/draw")
    phones = Phones(host.port, phone_links(cook, tasting), host.json("ballots", tasting))
    threads = [threading.Thread(target=phones.run_one, args=(b,)) for b in range(TASTERS)]
    for thread in threads:
        thread.start()
    for kill in range(1, KILLS + 1):
        phones.wait_for(kill * TASTERS * 4 // (KILLS + 1))   # on what phones were told, not on time
        host.kill()
        host.start(host.port)
    for thread in threads:
        thread.join(timeout=120)
    differing_answers(host, phones, tasting)
    check("every phone got through", len(phones.confirmed) == TASTERS * 4, len(phones.confirmed))
    host.stop()
    parcel = host.folder.name + "/parcel.json"
    host.run("export", tasting, parcel)
    kept = {}
    for row in json.load(open(parcel, encoding="utf-8"))["log"]:
        for ballot, number, code in json.loads(row["body"])["answers"] if row["kind"] == "answered" else ():
            check("no answer stands twice", (int(ballot) - 1, number) not in kept, row)
            kept[int(ballot) - 1, number] = code
    check("every confirmed answer is there as it was tapped", kept == phones.confirmed, f"{len(kept)} kept, {len(phones.confirmed)} confirmed")
    host.run("check")
    print(f"{KILLS} kills under {TASTERS} phones, {len(kept)} answers: {CHECKS[0]} checks hold")


if __name__ == "__main__":
    main()
