"""So many generated cars checked in a process of their own: prints seconds a car and the peak memory in MiB.

`PYTHONPATH=tests:tests/questions python tests/benchmarks/fleet.py 10000` (a second number: worker processes).
"""

from __future__ import annotations

import resource
import subprocess
import sys
import tempfile
import time
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path

from rows import Row, bounded

FEW, MANY = 1_000, 10_000


def measured(cars: int, processes: int = 0) -> tuple[float, float]:
    """Seconds a car, and peak MiB of the process that asks (with workers: of the largest one of them)."""
    from fleet_samples import generated, rules_in, short
    from planning_samples import AS_OF

    from carknocker.questions.check.fleet import check_fleet

    with tempfile.TemporaryDirectory() as folder:
        place = rules_in(Path(folder))
        executor = ProcessPoolExecutor(processes, get_context("spawn")) if processes else None
        start = time.perf_counter()
        outcomes = [0, 0]
        for result in check_fleet(generated(cars, place), AS_OF, short, executor=executor):
            outcomes[result.outcome == "ready"] += 1
        took = time.perf_counter() - start
        if outcomes[0] != cars // 3:
            raise SystemExit(f"{outcomes[0]} cars are not ready: not the work that was meant")
        if executor is not None:
            executor.shutdown()
    who = resource.RUSAGE_CHILDREN if processes else resource.RUSAGE_SELF
    return took / cars, resource.getrusage(who).ru_maxrss / 1024


def fleet() -> list[Row]:
    """Ten times as many cars: the time a car and the memory stay the same."""
    found = []
    for cars in (FEW, MANY):
        command = [sys.executable, __file__, str(cars)]
        answer = subprocess.run(command, capture_output=True, text=True, check=True)
        found.append(tuple(map(float, answer.stdout.split())))
    (few, small), (many, large) = found
    label = f"check_fleet, {MANY:,} generated cars / {FEW:,}: time a car"
    return [
        bounded(label, f"{many * 1e3:.1f} ms / {few * 1e3:.1f} ms", many / few, most=1.2, decimals=2),
        bounded("  peak memory", f"{large:.0f} MiB / {small:.0f} MiB", large / small, most=1.1, decimals=2),
    ]


if __name__ == "__main__":
    print(*measured(*map(int, sys.argv[1:])))
