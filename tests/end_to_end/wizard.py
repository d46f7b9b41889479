"""The questions of `oddplate new`, asked on a terminal of our own: at most nine, none in the trade's terms, nonsense asked for again, nothing
written before the last answer, no file written over. Usage: wizard.py PATH/TO/oddplate"""

import json
import os
import pathlib
import pty
import re
import select
import sys
import tempfile

END = None   # Ctrl-D


def ask(program, folder, answers):
    """Types each answer once the program waits for it; (exit code, all that stood on the terminal)."""
    pid, terminal = pty.fork()
    if pid == 0:
        os.chdir(folder)
        os.execve(program, [program, "new", "--book", "book.sqlite"], {"HOME": str(folder), "LC_ALL": "C.UTF-8", "PATH": "/usr/bin:/bin"})
    seen = b""

    def read():
        nonlocal seen
        if not select.select([terminal], [], [], 60)[0]:
            raise AssertionError("the program says nothing for a minute:\n" + seen.decode())
        try:
            more = os.read(terminal, 65536)
        except OSError:   # the other side has hung up
            return False
        seen += more
        return bool(more)

    for answer in answers:
        start = len(seen)
        while not seen[start:].endswith(b"> "):
            if not read():
                raise AssertionError("the program left early:\n" + seen.decode())
        os.write(terminal, b"\x04" if answer is END else answer.encode() + b"\n")
    while read():
        pass
    os.close(terminal)
    return os.waitstatus_to_exitcode(os.waitpid(pid, 0)[1]), seen.decode().replace("\r\n", "\n")


def check(holds, what):
    if not holds:
        raise AssertionError(what)


def questions(seen):
    return re.findall(r"^\d+\. .*?(?=^> )", seen, re.MULTILINE | re.DOTALL)


def plan_of(folder, name):
    return json.loads((folder / name).read_text())


def the_longest_way(program, folder):
    code, seen = ask(program, folder, ["Less salt in the cure", "4", "saltier usual", "4", "42", "outside, inside", "12 1.8 1,5", "cold 15:00", "celery"])
    check(code == 0, seen)
    asked = questions(seen)
    check(len(asked) == 9, f"{len(asked)} questions:\n{seen}")
    for question in asked:
        for term in (r"\bpd\b", r"\bd'", r"\bd\b", "alpha", "beta", "power", "signific", "triangle", "discriminat", "probab"):
            check(not re.search(term, question, re.IGNORECASE), f"{term} in: {question}")
    for line in seen.split("\n"):
        check(len(line) <= 80, f"{len(line)} columns: {line}")
    check(plan_of(folder, "less-salt-in-the-cure.json") == {
        "title": "Less salt in the cure",
        "versions": [{"id": "current", "label": "1.8 % salt"}, {"id": "new", "label": "1.5 % salt"}],
        "tasters": 42,
        "rounds": [{"method": "two-afc", "attribute": "saltier", "stronger": "current", "detect_d": 1.976, "spots": ["outside", "inside"]}],
        "grams": 12, "salt_percent": {"current": 1.8, "new": 1.5}, "warm": False, "start": "15:00", "allergens": ["celery"]}, seen)
    check("A head: 4 portions" in seen, "the plan in words follows")


def the_other_questions(program, folder):
    first = (folder / "less-salt-in-the-cure.json").read_bytes()
    for question, in_ten, round_ in (("1", "3", {"method": "triangle", "aim": "difference", "detect_pd": 0.3}),
                                     ("2", "5", {"method": "triangle", "aim": "similarity", "same_below_pd": 0.5}),
                                     ("3", "7", {"method": "paired-preference", "no_preference": True, "share": 0.7})):
        code, seen = ask(program, folder, ["Less salt in the cure", question, in_ten, "20", "", "", "warm", ""])
        check(code == 0 and len(questions(seen)) == 8, seen)
        name = f"less-salt-in-the-cure-{int(question) + 1}.json"
        check(plan_of(folder, name)["rounds"] == [round_], seen)
        check(plan_of(folder, name)["warm"] is True, seen)
    check((folder / "less-salt-in-the-cure.json").read_bytes() == first, "a file that was there was written over")
    code, seen = ask(program, folder, ["Süß?", "1", "4", "1,200", "a, b, c", "10", "cold", ""])
    check(code == 0, seen)
    check(plan_of(folder, "s.json")["tasters"] == 1200, "1,200 people are 1200")
    check(plan_of(folder, "s.json")["rounds"][0]["spots_per_taster"] == 2, "two trays a head, not three")


def several_recipes(program, folder):
    recipes = "usual cure, with maple, with juniper, Pepper!"
    for question, spots, expected in (("5", "", {"method": "ranking"}),
                                      ("5", "lean, middle, fat", {"method": "ranking", "tray_size": 3, "spots": ["lean", "middle", "fat"], "spots_per_taster": 2}),
                                      ("6", "", {"method": "rating", "detect_score": 1, "spread": 2}),
                                      ("7", "lean, fat", {"method": "ranking", "tray_size": 3, "against_usual": True, "not_less": 0.3, "usual_in_every_tray": True, "spots": ["lean", "fat"]})):
        for old in folder.glob("four-cures*.json"):
            old.unlink()
        code, seen = ask(program, folder, ["Four cures", question, "usual cure, with maple", recipes, "4", "48", spots, "12 2 3", "8", "cold 18:00", "celery"])
        check(code == 0 and len(questions(seen)) == 11, f"nine questions, two of them asked again:\n{seen}")
        plan = plan_of(folder, "four-cures.json")
        check(plan["versions"] == [{"id": "current", "label": "usual cure"}, {"id": "with-maple", "label": "with maple"}, {"id": "with-juniper", "label": "with juniper"}, {"id": "pepper", "label": "Pepper!"}], plan)
        check(plan["rounds"] == [expected] and plan["pieces"] == 4 and plan["tasters"] == 48, plan)
        check("too many for one mouth" not in seen and not re.search(r"A head: ([7-9]|\d\d) portions", seen), f"six portions a head at most:\n{seen}")
    code, seen = ask(program, folder, ["Twins", "5", "usual, Maple, maple!, ***", "1", "30", "", "", "cold", ""])
    check([v["id"] for v in plan_of(folder, "twins.json")["versions"]] == ["current", "maple", "maple-3", "recipe-4"], seen)


def a_small_panel(program, folder):
    begun = (folder / "book.sqlite").exists() and (folder / "book.sqlite").read_bytes()
    code, seen = ask(program, folder, ["Few people", "1", "2", "8", "", "", "cold", ""])
    check(code == 0 and "Nothing is begun yet." in seen and "too small for its question" in seen, seen)
    check(re.search(r"oddplate\s+new\s+few-people.json", seen), seen)
    check(((folder / "book.sqlite").exists() and (folder / "book.sqlite").read_bytes()) == begun, "a tasting was made before the panel was told to be too small")


def nonsense(program, folder):
    good = ["T", "4", "saltier new", "2", "9", "edge", "", "warm 09:05", ""]
    bad = [["", "   ", "x" * 201], ["0", "8", "two", ""], ["saltier", "usual", "saltier both"], ["1", "6", "4.5", "-3"], ["0", "10001", "10,001", "2,5", "ten", "1e9", ""],
           ["24", "edge, 12", "a, a", "x" * 61, ",".join("abcdefghijklm")], ["12 2", "0", "12 2.4 101", "twelve", "12 2.4 2.0 1"],
           ["", "hot", "warm 24:00", "warm 9", "cold 13pm", "cold 18:30 sharp"], ["x" * 61, "milk, milk"]]
    answers = [answer for wrong, right in zip(bad, good) for answer in wrong + [right]]
    code, seen = ask(program, folder, answers)
    check(code == 0, seen)
    check(len(questions(seen)) == len(answers), "each bad answer is asked for once more")
    check(plan_of(folder, "t.json")["tasters"] == 9 and plan_of(folder, "t.json")["start"] == "09:05", seen)


def as_people_answer(program, folder):
    code, seen = ask(program, folder, ["Loose", "5", "usual cure, maple, juniper and pepper", "48", "b", "4", "48", "", "8 g", "cold 6pm", "none"])
    plan = plan_of(folder, "loose.json")
    check(code == 0 and [v["label"] for v in plan["versions"]] == ["usual cure", "maple", "juniper", "pepper"] and "4 recipes, the usual one first" in seen, seen)
    check(plan["pieces"] == 4 and plan["tasters"] == 48 and plan["grams"] == 8 and plan["start"] == "18:00" and "allergens" not in plan, plan)


def leaving(program, folder):
    before = sorted(path.name for path in folder.iterdir())
    answers = ["Left", "1", "4", "30", "edge", "12", "cold", ""]
    for after in range(len(answers)):
        code, seen = ask(program, folder, answers[:after] + [END])
        check(code == 2, f"exit {code} after {after} answers:\n{seen}")
        check("nothing was written" in seen, seen)
    check(sorted(path.name for path in folder.iterdir()) == before, "something was written")


def main():
    program = str(pathlib.Path(sys.argv[1]).resolve())
    with tempfile.TemporaryDirectory(prefix="oddplate-wizard-") as name:
        folder = pathlib.Path(name)
        for part in (leaving, the_longest_way, the_other_questions, several_recipes, a_small_panel, as_people_answer, nonsense):
            part(program, folder)
            print("passed:", part.__name__.replace("_", " "))


if __name__ == "__main__":
    main()
