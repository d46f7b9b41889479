#!/usr/bin/env python3
"""`host --test`: a request from this machine shows nothing of the network, one from another address does.

    phone_test.py --program BUILD/oddplate
"""

import argparse
import http.client
import json
import subprocess
import urllib.parse

from phone import CHECKS, check


def ask(link, source, host=None):
    parts = urllib.parse.urlsplit(link)
    connection = http.client.HTTPConnection("127.0.0.1", parts.port, timeout=20, source_address=(source, 0))
    connection.request("GET", parts.path, headers={"Host": host or parts.netloc})
    return connection.getresponse().status


def main():
    arguments = argparse.ArgumentParser()
    arguments.add_argument("--program", required=True)
    program = subprocess.Popen([arguments.parse_args().program, "host", "--test", "--port", "0", "--json"], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    link = program.stderr.readline().strip()
    link = link[link.index("http"):]
    check("its link is answered from here", ask(link, "127.0.0.1") == 200)
    check("that is no phone yet", program.poll() is None)
    check("another name is not served", ask(link, "127.0.0.2", "evil.example") == 404)
    check("another path opens nothing", ask(link[:-1] + "x", "127.0.0.2") == 404)
    check("a phone is", ask(link, "127.0.0.2") == 200)
    out, _ = program.communicate(timeout=30)
    said = json.loads(out)
    check("and it is said", program.returncode == 0 and said["reached"] and said["answers"], said)
    print(f"a phone is waited for: {CHECKS[0]} checks hold")


if __name__ == "__main__":
    main()
