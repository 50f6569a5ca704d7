"""Pages as a browser meets them, on this machine alone: start to first page, then 100 requests in
a second to each page that is there, resident memory, size of the program. Nothing is judged here.

`pages.py [--quick] [PROGRAM]`; bounded in count and time: 10 starts, 30 s a page (1 s with --quick).
"""

import http.client
import os
import re
import signal
import subprocess
import sys
import threading
import time

RATE = 100
WORKERS = 4
STARTS = 10
# Pages and answers for programs; what is not there is left out. A forecast is a computation of its
# own, measured in insight/forecast.
PATHS = [
    "/", "/plan", "/run", "/book", "/air", "/check", "/bench", "/book/add/fill", "/book/cylinders",
    "/book/due", "/sign-in", "/assets/fillstead.css", "/api/v1/audit",
    "/api/v1/book/entries", "/api/v1/book/due", "/api/v1/openapi.json",
]
REACH = {"first page, ms": 150, "p99, ms": 20, "binary, MB": 30, "resident, MB": 100}


def started(program):
    """A demonstration server: process, port, and the seconds to its address and first page."""
    began = time.perf_counter()
    process = subprocess.Popen([program, "demo", "--port", "0"], stdout=subprocess.PIPE, text=True)
    line = process.stdout.readline()
    address = time.perf_counter() - began
    port = int(re.search(r"127\.0\.0\.1:(\d+)/", line).group(1))
    asked(http.client.HTTPConnection("127.0.0.1", port, timeout=20), "/book")
    return process, port, address, time.perf_counter() - began


def ended(process):
    process.send_signal(signal.SIGINT)
    process.wait(timeout=20)


def asked(connection, path):
    connection.request("GET", path)
    answer = connection.getresponse()
    answer.read()
    return answer.status


def loaded(port, path, seconds):
    """Times of requests that leave by the clock, whether or not the one before was answered."""
    times, wrong = [], []
    begin = time.perf_counter() + 0.1

    def worker(first):
        connection = http.client.HTTPConnection("127.0.0.1", port, timeout=20)
        asked(connection, path)
        for turn in range(first, int(RATE * seconds), WORKERS):
            due = begin + turn / RATE
            time.sleep(max(0.0, due - time.perf_counter()))
            status = asked(connection, path)
            # From when it was due: a server that falls behind shows it.
            times.append(time.perf_counter() - due)
            if status != 200:
                wrong.append(status)

    threads = [threading.Thread(target=worker, args=(n,)) for n in range(WORKERS)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return sorted(times), wrong


def resident_mb(process):
    with open(f"/proc/{process.pid}/status", encoding="ascii") as status:
        peak = next(line for line in status if line.startswith("VmHWM"))
    return int(peak.split()[1]) / 1024


def main():
    rest = [a for a in sys.argv[1:] if a != "--quick"]
    quick = len(rest) < len(sys.argv) - 1
    seconds = 1 if quick else 30
    program = rest[0] if rest else "target/release/fillstead"
    print(f"reach: {REACH}; other work on the machine makes figures worse")
    print(f"binary, MB                {os.path.getsize(program) / 1e6:8.1f}")
    starts = []
    for _ in range(2 if quick else STARTS):
        process, _, address, page = started(program)
        starts.append((page, address))
        ended(process)
    starts.sort()
    page, address = starts[len(starts) // 2]
    print(f"address printed, ms       {1e3 * address:8.1f}   (the demonstration book made first)")
    print(f"first page, ms            {1e3 * page:8.1f}   slowest {1e3 * starts[-1][0]:.1f}")
    process, port, _, _ = started(program)
    print(f"{'page':26}     p50      p99  slowest, ms   at {RATE}/s for {seconds} s")
    for path in PATHS:
        connection = http.client.HTTPConnection("127.0.0.1", port, timeout=20)
        if asked(connection, path) != 200:
            continue
        times, wrong = loaded(port, path, seconds)
        p50, p99, most = (1e3 * times[int(q * (len(times) - 1))] for q in (0.5, 0.99, 1.0))
        print(f"{path:26}{p50:8.2f} {p99:8.2f} {most:8.2f}   {f'wrong: {wrong[:3]}' if wrong else ''}")
    print(f"resident at most, MB      {resident_mb(process):8.1f}")
    ended(process)


main()
