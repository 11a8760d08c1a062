#!/usr/bin/env python3
"""Does the bench stay quick when the clinic grows? What each page and act takes at 24, 1'000, 10'000 and 100'000 people.

Budget, processor time of the server: at 10'000 people a write and the Today after it 50 ms together, another person's page after
a write 8 ms, Month when nothing changed 50 ms, a search 10 ms; at 100'000 none of them more than 12 times that, a person's page
and a write unchanged; 200 facts into a journal of 100'000 one second. And by the clock: 99 of 100 answers of /api/health within
20 ms while four months are asked for.

  bench/desk_scale.py [--penstock build/penstock] [--people 24,1000,10000] [--stores FOLDER] [--json FILE]

Stores are made by `penstock demo --people N` in FOLDER (kept, and used again) and copied before they are served, on a port of
this machine that is free. Processor time is the server process's own (its CPU clock, which counts ended threads, too): the least
of several calls. The clock's times are only good on a machine with nothing else to do.
"""

import argparse
import http.client
import json
import os
import re
import shutil
import subprocess
import sys
import tempfile
import threading
import time
import uuid
from datetime import datetime, timedelta, timezone
from pathlib import Path

WRITES_TO = "HS 04031"  # of the demo's first people, who are the same in every clinic
LOOKS_AT = "HS 03310"
LONG_JOURNAL = "HS 04455"
TIMES = 7


class Server:
    def __init__(self, penstock, data):
        self.process = subprocess.Popen(
            [penstock, "serve", "--data", data, "--port", "0"], stdout=subprocess.PIPE, text=True
        )
        line = ""
        while "http://127.0.0.1:" not in line:
            line = self.process.stdout.readline()
            if not line:
                sys.exit("the server did not start")
        port, token = re.search(r"http://127\.0\.0\.1:(\d+)/\?start=([0-9a-f]+)", line).groups()
        self.port = int(port)
        self.cookie = {"Cookie": f"penstock-{port}={token}"}
        # The process's CPU clock, by clock_getcpuclockid(3).
        self.clock = (~self.process.pid << 3) | 2

    def cpu(self):
        return time.clock_gettime(self.clock)

    def connection(self):
        return http.client.HTTPConnection("127.0.0.1", self.port, timeout=1200)

    def call(self, method, path, body=None, kind="application/json"):
        connection = self.connection()
        kind_of = {"Content-Type": kind} if body is not None else {}
        connection.request(method, path, body, {**self.cookie, **kind_of})
        answer = connection.getresponse()
        text = answer.read()
        connection.close()
        if answer.status != 200:
            sys.exit(f"{method} {path}: {answer.status} {text[:300]}")
        return text

    def get(self, path):
        return self.call("GET", path)

    def cost(self, *calls):
        """Processor seconds of these calls, one after the other."""
        before = self.cpu()
        for call in calls:
            call()
        return self.cpu() - before

    def rss_mb(self):
        status = Path(f"/proc/{self.process.pid}/status").read_text()
        return int(re.search(r"VmRSS:\s+(\d+)", status).group(1)) // 1024

    def end(self):
        self.process.terminate()
        self.process.wait()


def person_of(server, number):
    rows = json.loads(server.get("/api/people?q=" + number.replace(" ", "%20")))
    return re.search(r'"id":\s*"([0-9a-f]{32})"', json.dumps(rows)).group(1)


def note(server, person, count=1):
    facts = [{"id": uuid.uuid4().hex, "what": "note", "text": "measured"} for _ in range(count)]
    seen = json.loads(server.get(f"/api/people/{person}/journal"))["version"]
    sent = {"seen_version": seen, "facts": facts, "confirmed": True}
    server.call("POST", f"/api/people/{person}/facts", json.dumps(sent))


def long_diary(lines):
    """One injection a line, a minute apart, into no known cartridge."""
    at = datetime.now(timezone.utc).replace(second=0, microsecond=0) - timedelta(minutes=lines + 10)
    rows = ["time,what,units,cartridge,zone,spot,note"]
    for i in range(lines):
        rows.append((at + timedelta(minutes=i)).strftime("%Y-%m-%dT%H:%M:%SZ") + ",note,,,,,line %d" % i)
    return "\n".join(rows) + "\n"


def lengthen(server, person, lines):
    path = f"/api/people/{person}/diary?file=long.csv"
    text = long_diary(lines)
    preview = json.loads(server.call("POST", path, text, "text/csv"))
    server.call("POST", path + "&accept=" + preview["digest"], text, "text/csv")


def health_while_months(server):
    stop = threading.Event()
    months = [
        threading.Thread(target=lambda days=days: server.get(f"/api/month?days={days}"))
        for days in (31, 32, 33, 34)
    ]
    waits = []

    def look():
        connection = server.connection()
        while not stop.is_set() or len(waits) < 200:
            begun = time.monotonic()
            connection.request("GET", "/api/health")
            connection.getresponse().read()
            waits.append(time.monotonic() - begun)
            time.sleep(0.002)

    looker = threading.Thread(target=look)
    looker.start()
    for month in months:
        month.start()
    for month in months:
        month.join()
    stop.set()
    looker.join()
    waits.sort()
    return waits[len(waits) * 99 // 100]


def measure(penstock, data, long_lines):
    server = Server(penstock, data)
    try:
        out = {}
        ms = lambda seconds: round(seconds * 1000, 2)
        writer, other, third = (person_of(server, n) for n in (WRITES_TO, LOOKS_AT, LONG_JOURNAL))
        today = lambda: server.get("/api/today")
        page = lambda: server.get(f"/api/people/{other}")
        write = lambda: note(server, writer)
        out["start and the first lists"] = ms(server.cpu())
        today()
        out["Today, again"] = ms(min(server.cost(today) for _ in range(TIMES)))
        out["Today, bytes"] = len(server.get("/api/today"))
        pairs = []
        for _ in range(TIMES):
            pairs.append((server.cost(write), server.cost(today)))
        out["a write"] = ms(min(p[0] for p in pairs))
        out["Today after a write"] = ms(min(p[1] for p in pairs))
        out["a write and the Today after it"] = ms(min(sum(p) for p in pairs))
        page()
        after = []
        for _ in range(TIMES):
            write()
            after.append(server.cost(page))
        out["another person's page after a write"] = ms(min(after))
        out["a person's page"] = ms(min(server.cost(page) for _ in range(TIMES)))
        three = [f"/api/people/{other}{more}" for more in ("", "/places", "/supplies")]
        out["a person's three documents"] = ms(
            min(server.cost(lambda: [server.get(path) for path in three]) for _ in range(TIMES))
        )
        out["supplies, bytes"] = len(server.get(f"/api/people/{other}/supplies"))
        search = lambda: server.get("/api/people?q=osei")
        search()
        out["a search"] = ms(min(server.cost(search) for _ in range(TIMES)))
        month = lambda: server.get("/api/month?days=30")
        out["Month, first"] = ms(server.cost(month))
        out["Month, nothing changed"] = ms(min(server.cost(month) for _ in range(3)))
        out["stock"] = ms(min(server.cost(lambda: server.get("/api/stock")) for _ in range(3)))
        counted = lambda: server.call(
            "POST", "/api/clinic/facts",
            json.dumps({"facts": [{"id": uuid.uuid4().hex, "what": "stock counted", "item": "aspart-100-cartridge",
                                   "lot": "H9007", "pieces": 9}], "confirmed": True}))
        out["a clinic's write"] = ms(min(server.cost(counted) for _ in range(3)))
        out["health, 99 of 100, by the clock, while four months"] = ms(health_while_months(server))
        if long_lines:
            lengthen(server, third, long_lines)
            out[f"200 facts into a journal of {long_lines}"] = ms(server.cost(lambda: note(server, third, 200)))
        out["memory, MB"] = server.rss_mb()
        return out
    finally:
        server.end()


def main():
    house = Path(__file__).resolve().parent.parent
    read = argparse.ArgumentParser()
    read.add_argument("--penstock", default=str(house / "build/penstock"))
    read.add_argument("--maker", help="the program that fills the stores, where it is another one")
    read.add_argument("--people", default="24,1000,10000")
    read.add_argument("--stores", default=None)
    read.add_argument("--long", type=int, default=100_000, help="lines of the long journal, at the smallest clinic; 0: none")
    read.add_argument("--json")
    asked = read.parse_args()
    folder = Path(asked.stores or tempfile.mkdtemp(prefix="penstock-scale-"))
    folder.mkdir(parents=True, exist_ok=True)
    sizes = [int(n) for n in asked.people.split(",")]
    table = {}
    for people in sizes:
        store = folder / f"{people}.penstock"
        if not store.exists():
            subprocess.run([asked.maker or asked.penstock, "demo", "--people", str(people), "--data", store], check=True)
        copy = folder / f"{os.getpid()}.penstock"
        shutil.copyfile(store, copy)
        try:
            table[people] = measure(asked.penstock, str(copy), asked.long if people == min(sizes) else 0)
        finally:
            for left in folder.glob(f"{os.getpid()}.penstock*"):
                left.unlink()
        print(f"{people} people", *(f"  {name}: {value}" for name, value in table[people].items()), sep="\n", flush=True)
    if asked.json:
        Path(asked.json).write_text(json.dumps(table, indent=1))
    if not asked.stores:
        shutil.rmtree(folder)


main()
