"""Runs the program as its users do: in a folder of its own, with its own book, and looks at everything that it leaves behind."""

import hashlib
import json
import os
import pathlib
import shutil
import subprocess
import tempfile


class Answer:
    """What one command came to. Bytes that are no UTF-8 would be a fault of the program, so they stop the test."""

    def __init__(self, words, done):
        self.words = words
        self.code = done.returncode
        self.out = done.stdout.decode("utf-8")
        self.err = done.stderr.decode("utf-8")

    @property
    def json(self):
        return json.loads(self.out)

    def __str__(self):
        return f"$ oddplate {' '.join(self.words)}\n{self.out}{self.err}exit {self.code}"


class Place:
    """A folder that lasts as long as the test: the program works in it, and its book lies in it."""

    def __init__(self, program):
        self.program = str(pathlib.Path(program).resolve())
        # In memory where that can be: the program waits for the disk at each act, and none of these tests is about the disk's speed.
        memory = pathlib.Path("/dev/shm")
        self.root = pathlib.Path(tempfile.mkdtemp(prefix="oddplate-test-", dir=memory if os.access(memory, os.W_OK) else None))
        self.folder = self.root / "work"
        self.folder.mkdir()
        self.book = self.root / "data" / "oddplate" / "book.sqlite"

    def __enter__(self):
        return self

    def __exit__(self, *_):
        shutil.rmtree(self.root)

    def environment(self):
        return {"PATH": os.environ["PATH"], "HOME": str(self.root / "home"), "XDG_DATA_HOME": str(self.root / "data"), "LC_ALL": "C.UTF-8"}

    def run(self, *words, stdin=b"", code=0):
        """Runs a command; any exit code but `code` stops the test (None: whatever comes)."""
        words = [str(word) for word in words]
        done = subprocess.run([self.program, *words], input=stdin, capture_output=True, cwd=self.folder, env=self.environment(), timeout=60)
        answer = Answer(words, done)
        if code is not None and answer.code != code:
            raise AssertionError(f"expected exit {code}:\n{answer}")
        return answer

    def write(self, name, text):
        path = self.folder / name
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        return path

    def contents(self):
        """Every file below the folder: its path, its bytes' hash and its access bits."""
        found = {}
        for path in sorted(self.root.rglob("*")):
            what = "folder" if path.is_dir() else hashlib.sha256(path.read_bytes()).hexdigest()
            found[str(path.relative_to(self.root))] = (what, oct(path.lstat().st_mode & 0o777))
        return found


def check(holds, what):
    """A promise of the program. Unlike `assert` it also holds under python -O."""
    if not holds:
        raise AssertionError(what)
