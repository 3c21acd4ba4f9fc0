"""The benchmark of the service, as ratios to a bare route of FastAPI in the same run, on loopback:
`python tests/benchmarks/service.py` prints the table of docs/benchmarks.md. Needs the extra `service` alone.

Both sides are processes of their own, asked by one connection each, in turn, so that a drift of the machine hits all.
`--requests` says how many each is asked at a turn, `--memory-requests` after how many the memory is looked at. It ends
with status 1 where something is not within `BOUNDS`.
"""

from __future__ import annotations

import argparse
import http.client
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager, suppress
from datetime import date, timedelta
from pathlib import Path
from statistics import median

import msgspec
from sqlalchemy import insert, update

from carknocker.service.sent_editions import RULESETS
from carknocker.service.storage.car_list import Car
from carknocker.service.storage.database import open_database
from carknocker.service.storage.history import History, NewVersion
from carknocker.service.storage.tables import car, standing

CASE = Path(__file__).resolve().parents[2] / "cases" / "wren-hollow" / "before"
FLEETS = (10, 1_000, 10_000)
AT = "2026-10-08T12:00:00Z"
FIRST = "c0"
TURNS = 5
BARE_ROUTE, MADE_BEFORE, MADE_ANEW = "a bare route of FastAPI", "a dossier made before", "a dossier made anew"
SEARCH, RARE_SEARCH = "a search among 10,000 cars that finds all", "a search among 10,000 cars that finds one"
SEARCHES = {SEARCH: "/?search=qtst", RARE_SEARCH: "/?search=qtst+9999"}
MEMORY = "memory of all its processes"


def page_of(cars: int) -> str:
    """What the page of all cars is called in the table."""
    first = f"the page of all cars, {cars:,} of them"
    return first if cars <= 50 else f"{first}, of which it shows 50"


BOUNDS = (
    (page_of(1_000), page_of(10), 3.0),  # it shows five times as many rows
    (page_of(10_000), page_of(1_000), 1.4),  # it shows as many: flat
    (page_of(10_000), BARE_ROUTE, 20.0),
    (SEARCH, page_of(10_000), 3.0),
    (RARE_SEARCH, page_of(10_000), 1.5),
    (MADE_BEFORE, BARE_ROUTE, 30.0),
    (MADE_ANEW, BARE_ROUTE, 3_000.0),
)
"""What is timed, beside what, and how many times as long it may take at the most, by the median of all."""
MOST_P99 = 10.0
"""How many times its own median the slowest of a hundred may take, of everything that is asked a hundred times."""
MOST_GROWTH = 1.1
"""Of the memory, from a tenth of the requests to all of them."""
BARE = """
import sys, uvicorn
from fastapi import FastAPI, Response
app = FastAPI()

@app.get("/")
def bare() -> Response:
    return Response("ok\\n", media_type="text/plain")

uvicorn.run(app, host="127.0.0.1", port=int(sys.argv[1]), log_config=None, access_log=False)
"""
SERVE = "from carknocker.cli.start import command; command()"


def fill(data: Path, cars: int) -> None:
    """A data folder with so many cars, each with a row that was judged today; the first has a record and a move."""
    history = History(open_database(data), data)
    history.add_car(Car(RULESETS, "", "", AT, "carknocker"))
    texts = [
        NewVersion(FIRST, kind, "", (CASE / f"{file}.yaml").read_bytes(), "text/yaml; charset=utf-8", AT, "owner")
        for kind, file in (("record", "car"), ("move", "move"))
    ]
    history.add_car(Car(FIRST, "QWHX 27", "Wren Hollow", AT, "owner"), texts, "2026-11-06")
    others = [Car(f"c{number}", f"QTST {number}", f"Car {number}", AT, "owner") for number in range(1, cars)]
    judged = {
        "away": 0, "ended": 0, "as_of": date.today().isoformat(), "outcome": "not ready",
        "next_lapse": "2026-11-14", "program": "0.1.0",
        "first_fault": "Wheel R5: flange 7/8 in or thinner; must be over 7/8 in", "changes": 1, "judged": 1,
    }  # fmt: skip
    with history.engine.begin() as connection:
        if others:
            connection.execute(insert(car), [msgspec.to_builtins(one) for one in others])
            days = [(date(2026, 11, 6) + timedelta(number % 300)).isoformat() for number in range(1, cars)]
            rows = [{"car": one.id, "out": out, **judged} for one, out in zip(others, days, strict=True)]
            connection.execute(insert(standing), rows)
        connection.execute(update(standing).values(judged))
    history.list_all(RULESETS)  # so that each is found by its mark and its name
    history.engine.dispose()


def free_port() -> int:
    with socket.create_server(("127.0.0.1", 0)) as one:
        return int(one.getsockname()[1])


class Asked:
    """A process that is asked by one connection."""

    def __init__(self, process: subprocess.Popen[bytes], port: int) -> None:
        self.process = process
        self.connection = http.client.HTTPConnection("localhost", port, timeout=120)

    def ask(self, address: str) -> float:
        """Seconds until the whole answer was there."""
        began = time.perf_counter()
        try:
            self.connection.request("GET", address)
            answer = self.connection.getresponse()
        except (http.client.RemoteDisconnected, BrokenPipeError, ConnectionResetError):  # it had nothing to do for long
            self.connection.close()
            began = time.perf_counter()
            self.connection.request("GET", address)
            answer = self.connection.getresponse()
        answer.read()
        took = time.perf_counter() - began
        if answer.status != 200:
            raise SystemExit(f"{address}: {answer.status}")
        return took

    def memory(self) -> float:
        """Of the process and those that it started, in MiB that are in memory."""
        parents = {}
        for folder in Path("/proc").glob("[0-9]*"):
            with suppress(OSError):
                parents[int(folder.name)] = int((folder / "stat").read_text().rpartition(")")[2].split()[1])
        own = {self.process.pid}
        while more := {one for one, parent in parents.items() if parent in own} - own:
            own |= more
        return sum(map(in_memory, own)) / 1024


def in_memory(process: int) -> int:
    """KiB; nothing for a process that has ended meanwhile."""
    with suppress(OSError):
        status = Path(f"/proc/{process}/status").read_text()
        return sum(int(line.split()[1]) for line in status.splitlines() if line.startswith("VmRSS"))
    return 0


@contextmanager
def asked(command: list[str], port: int, address: str) -> Iterator[Asked]:
    with subprocess.Popen(
        [sys.executable, "-c", *command], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    ) as process:
        try:
            one = Asked(process, port)
            for _ in range(300):
                try:
                    one.ask(address)
                    break
                except (OSError, http.client.HTTPException):
                    one.connection.close()
                    time.sleep(0.1)
            yield one
        finally:
            one.connection.close()
            process.terminate()
            process.wait()


def percentile_99(times: list[float]) -> float:
    return sorted(times)[min(len(times) - 1, round(len(times) * 0.99))]


def row(label: str, times: list[float], bare: list[float]) -> str:
    """Requests a second by the median of all, and the slowest of a hundred, both beside the bare route."""
    rate, slow = 1 / median(times), percentile_99(times)
    beside, slow_beside = median(times) / median(bare), slow / percentile_99(bare)
    return f"| {label} | {rate:,.0f} | {slow * 1e3:,.1f} ms | {ratio(beside)} | {ratio(slow_beside)} |"


def ratio(value: float) -> str:
    """To two figures, or whole."""
    return f"{value:,.0f}" if value >= 99.5 else f"{value:.1f}"


def not_within(times: dict[str, list[float]], growth: float) -> list[str]:
    """What is not within the bounds, a line each. growth: of the memory."""
    found = [
        f"{what}: {ratio(share)} times {beside}, where {ratio(most)} are the most"
        for what, beside, most in BOUNDS
        if (share := median(times[what]) / median(times[beside])) > most
    ]
    found += [
        f"{what}: its p99 is {ratio(share)} times its median, where {ratio(MOST_P99)} are the most"
        for what, taken in times.items()
        if len(taken) >= 100 and (share := percentile_99(taken) / median(taken)) > MOST_P99
    ]
    if growth > MOST_GROWTH:
        found.append(f"{MEMORY}: {growth:.2f} times as much, where {MOST_GROWTH} are the most")
    return found


def main() -> None:
    given = argparse.ArgumentParser()
    given.add_argument("--requests", type=int, default=100, help="of each, at a turn")
    given.add_argument("--memory-requests", type=int, default=10_000, help="asked of one service at the end")
    asks = given.parse_args()
    requests, last = asks.requests, asks.memory_requests
    with ExitStack() as stack:
        folder = Path(stack.enter_context(tempfile.TemporaryDirectory()))
        port = free_port()
        bare = stack.enter_context(asked([BARE, str(port)], port, "/"))
        fleets = {}
        for number in FLEETS:
            fill(folder / str(number), number)
            port = free_port()
            command = [SERVE, "serve", "--data", str(folder / str(number)), "--port", str(port)]
            fleets[number] = stack.enter_context(asked(command, port, "/healthz"))
        first = fleets[FLEETS[0]]
        dossier = f"/cars/{FIRST}/check?as_of=2026-10-08"
        first.ask(dossier)
        times: dict[str, list[float]] = {}

        def turn(label: str, one: Asked, addresses: list[str]) -> None:
            one.ask(addresses[0])
            times.setdefault(label, []).extend(map(one.ask, addresses[1:]))

        for number in range(TURNS):
            turn(BARE_ROUTE, bare, ["/"] * (requests + 1))
            for cars, one in fleets.items():
                turn(page_of(cars), one, ["/"] * (requests + 1))
            for label, address in SEARCHES.items():
                turn(label, fleets[FLEETS[-1]], [address] * (requests + 1))
            turn(MADE_BEFORE, first, [dossier] * (requests + 1))
            anew = max(4, requests // 10) + 1
            days = [date(2026, 1, 1) + timedelta(number * anew + day) for day in range(anew)]
            turn(MADE_ANEW, first, [f"/cars/{FIRST}/check?as_of={day}" for day in days])
        print("| what | a second | p99 | time, against the bare route | p99, against its p99 |")
        print("| --- | --- | --- | --- | --- |")
        for label, taken in times.items():
            print(row(label, taken, times[BARE_ROUTE]), flush=True)
        addresses = ["/", dossier, f"/cars/{FIRST}", "/api/cars"]
        held = {}
        for count in range(1, last + 1):
            first.ask(addresses[count % len(addresses)])
            if count in (last // 10, last):
                held[count] = first.memory()
        few, many = held.values()
        print(
            f"| {MEMORY} after {last:,} requests, against {last // 10:,} | "
            f"{many:.0f} MiB / {few:.0f} MiB | | {many / few:.2f} | |",
            flush=True,
        )
    wrong = not_within(times, many / few)
    print("\n".join(wrong) or "all within the bounds")
    raise SystemExit(bool(wrong))


if __name__ == "__main__":
    main()
