"""Writes a reference table: lines of `# key value` first, then a CSV. Numbers carry 25 digits, inputs read back exactly."""

import mpmath


def number(x, digits=25):
    return mpmath.nstr(mpmath.mpf(x), digits, min_fixed=0, max_fixed=0)


def exact(x):
    """A double as the shortest text that reads back to it."""
    return repr(float(x))


def write(path, what, how, header, rows):
    with open(path, "w", encoding="ascii", newline="\n") as out:
        out.write(f"# what     {what}\n# made by  {how}\n")
        out.write(",".join(header) + "\n")
        for row in rows:
            out.write(",".join(row) + "\n")
