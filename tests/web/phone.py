"""What the tests of the page share: a host on a free port, and browsers as thin as a phone's."""

import atexit
import hashlib
import http.client
import json
import os
import pathlib
import re
import signal
import subprocess
import tempfile
import urllib.parse


class Host:
    """`oddplate host` on a free loopback port, with a book of its own unless one is given."""

    def __init__(self, program, book=None):
        self.program = program
        self.folder = tempfile.TemporaryDirectory()
        self.book = book or self.folder.name + "/book.sqlite"
        self.start()
        atexit.register(lambda: self.process.kill())   # also where a check failed

    def start(self, port=0):
        self.process = subprocess.Popen([self.program, "host", "--port", str(port), "--book", self.book], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
        first = self.process.stdout.readline()
        found = re.search(r"http://127\.0\.0\.1:(\d+)", first)
        if not found:
            raise SystemExit(f"no address in {first!r}: {self.process.stderr.read()}")
        self.port = int(found.group(1))
        self.links = [re.search(r"/as/\w+", self.process.stdout.readline()).group() for _ in range(4)]   # host, runner, desk, kitchen

    def kill(self):
        self.process.kill()
        self.process.wait()
        self.close_pipes()

    def stop(self):
        self.process.send_signal(signal.SIGTERM)
        code = self.process.wait(timeout=20)
        self.close_pipes()
        return code

    def close_pipes(self):
        self.process.stdout.close()
        self.process.stderr.close()

    def run(self, *words):
        done = subprocess.run([self.program, *words, "--book", self.book], capture_output=True, text=True, check=False)
        if done.returncode:
            raise SystemExit(f"{words}: {done.stderr}")
        return done.stdout

    def json(self, *words):
        return json.loads(self.run(*words, "--json"))

    def browser(self, link=None):
        browser = Browser(self.port)
        if link:
            browser.get(link)
        return browser


KEEP_PAGES = os.environ.get("ODDPLATE_KEEP_PAGES")   # a folder; whoever checks the pages' markup sets it (browser/markup.mjs)


class Browser:
    """One person's browser: cookies, forms, and the origin that a real one would send."""

    def __init__(self, port):
        self.port, self.cookies = port, {}

    def ask(self, method, path, body=None, headers=None, follow=True):
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=30)
        sent = {"Cookie": "; ".join(f"{k}={v}" for k, v in self.cookies.items())} if self.cookies else {}
        if method == "POST":
            sent.update({"Origin": f"http://127.0.0.1:{self.port}", "Content-Type": "application/x-www-form-urlencoded"})
        sent.update(headers or {})
        connection.request(method, path, body, {k: v for k, v in sent.items() if v is not None})
        reply = connection.getresponse()
        self.status, self.bytes, self.headers = reply.status, reply.read(), dict(reply.getheaders())
        self.text = re.sub(r"<template.*?</template>", "", self.bytes.decode(errors="replace"), flags=re.S)   # folded away: nobody without script sees it
        self.whole = self.bytes.decode(errors="replace")
        self.all_headers = reply.getheaders()
        connection.close()
        if KEEP_PAGES and "text/html" in self.headers.get("Content-Type", ""):
            kind = re.sub(r"\W+", "-", re.sub(r"\b(?:[0-9a-f]{32}|(?<=/tasting/)[a-z]{8})\b", "x", path)).strip("-") or "start"
            pathlib.Path(KEEP_PAGES, f"{kind}-{self.status}-{hashlib.sha256(self.bytes).hexdigest()[:12]}.html").write_bytes(self.bytes)
        if "Set-Cookie" in self.headers:
            name, value = self.headers["Set-Cookie"].split(";")[0].split("=", 1)
            self.cookies[name] = value
        if follow and self.status == 303:
            return self.ask("GET", self.headers["Location"])
        self.path = path
        return self

    def get(self, path, **more):
        return self.ask("GET", path, **more)

    def get_bytes(self, path):
        return self.ask("GET", path).bytes

    def post(self, path, fields, **more):
        return self.ask("POST", path, urllib.parse.urlencode(fields, doseq=True), **more)

    def form_token(self):
        return re.search(r'name="form" value="(\w+)"', self.text).group(1)

    def send_form(self, path, **fields):
        """Sends a form of the page that is open now, with its hidden token."""
        return self.post(path, {"form": self.form_token(), **fields})


def phone_links(host_browser, tasting):
    host_browser.get(f"/tasting/{tasting}/links")
    return re.findall(r'href="http://[^/"]+(/t/\w+)"', host_browser.text)


CHECKS = [0]


def check(what, holds, seen=""):
    CHECKS[0] += 1
    if not holds:
        raise SystemExit(f"does not hold: {what}\n{seen}")
