"""The benchmark table, as ratios taken in one run: `python tests/benchmarks`. Needs the extra `bench`.

Run it as `PYTHONPATH=tests:tests/judgement:tests/questions python tests/benchmarks`: it shares
the builders of those tests.
"""

from __future__ import annotations

import gc
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import date
from functools import partial
from pathlib import Path
from statistics import median

import random_worlds
from fleet import fleet
from msgspec.structs import replace
from peers import PEERS, named
from planning_samples import car_text, checked, library_in, wheelset
from real_car import comparisons_against_peers, judged_whole
from rows import Row, bounded
from workload import OUT, consequences, criteria, flat_car, troubled_car, values_of

from carknocker.cli.inputs import Place, read_both
from carknocker.judgement.answer import check
from carknocker.judgement.chain.fixed_point import PlainEvaluator
from carknocker.judgement.findings import findings_of
from carknocker.judgement.judge import judge
from carknocker.judgement.prepared_rulebook import prepare
from carknocker.judgement.situation import Situation
from carknocker.page.html import html_of
from carknocker.quantities import read_quantity
from carknocker.questions.check.dossier_page import dossier_page
from carknocker.questions.place_wheels.ask import place_wheels
from carknocker.record.model import CarRecord
from carknocker.record.standing import stand
from carknocker.record.values import Figure, Word
from carknocker.rulebook.library import load_library, rulesets_folders
from carknocker.rulebook.model import Rulebook
from carknocker.vocabulary import load_vocabulary
from carknocker.workings import WORKINGS

RUNS = 25


def timed(work: Callable[[], object], runs: int = RUNS) -> float:
    """The least time of several runs, in seconds, without the collector's pauses: what else the machine does only adds
    to it."""
    return timed_in_turn([work], runs)[0]


def timed_in_turn(works: list[Callable[[], object]], runs: int = RUNS) -> list[float]:
    """The least time of several runs of each, run in turn, so that a drift of the machine hits all."""
    times: list[list[float]] = [[] for _ in works]
    for run in range(runs + 1):
        for work, taken in zip(works, times, strict=True):
            gc.collect()
            gc.disable()
            start = time.perf_counter()
            work()
            if run:
                taken.append(time.perf_counter() - start)
            gc.enable()
    return [min(taken) for taken in times]


def criteria_work(car: CarRecord, book: Rulebook) -> Callable[[], int]:
    move = random_worlds.move()
    situation = Situation(stand(car, move, OUT), move, {})
    compiled = prepare(book).criteria
    return lambda: len(findings_of(compiled, situation, lambda: None).every)


def against_peers() -> list[Row]:
    rules, car = criteria(), flat_car()
    book = random_worlds.rulebook(rules, [])
    ours = criteria_work(car, book)
    move = random_worlds.move()
    found = findings_of(prepare(book).criteria, Situation(stand(car, move, OUT), move, {}), lambda: None).every
    verdicts = sum(one.verdict == "met" for one in found)  # beside them stand those of parts that nobody listed
    values = values_of(car)
    by_kind = {kind: [values[p.key] for p in car.parts if p.kind == kind] for kind in {one.of for one in rules}}
    works: dict[str, Callable[[], int]] = {name: build(rules, by_kind) for name, build in PEERS.items()}
    for name, work in works.items():
        if work() != verdicts:
            raise SystemExit(f"{name} gives {work()} of {verdicts} met: not the same work")
    own, *others = timed_in_turn([ours, *works.values()])
    rows = [Row(f"criteria: {verdicts:,} verdicts", f"{own / verdicts * 1e6:.2f} µs a verdict", "1")]
    for name, took in zip(works, others, strict=True):
        rows.append(Row(f"  {named(name)}", f"{took / verdicts * 1e6:.2f} µs a verdict", f"{took / own:.1f}"))
    fastest = min(others)
    rows.append(bounded("  fastest of these / criteria", "", fastest / own, least=1))
    return rows


def whole(parts_of_a_kind: int, most: int) -> list[Row]:
    rules = criteria()
    book = random_worlds.rulebook(rules, consequences())
    car = troubled_car(parts_of_a_kind, rules)
    judgement = judge(car, random_worlds.move(), book, OUT)
    part, took = timed_in_turn([criteria_work(car, book), lambda: judge(car, random_worlds.move(), book, OUT)])
    findings, unmet = len(judgement.findings), sum(finding.unmet for finding in judgement.findings)
    label = f"judge, {findings:,} findings, {unmet} unmet, {len(car.work)} jobs / its criteria"
    return [bounded(label, f"{took * 1e3:.1f} ms / {part * 1e3:.2f} ms", took / part, most=most)]


def workings(folder: Path) -> list[Row]:
    """Every derived figure of the largest case, its wheels taped and its bearings felt besides, against what its
    judgement costs beside the workings that it asks for."""
    car, move = read_both(Place(folder), None)
    car = fully_read(car)
    book = load_library(rulesets_folders()).rulebooks(move).at_out
    day = DAY_OF_LARGEST
    situation = judge(car, move, book, day).situation
    vocabulary = load_vocabulary()
    every = [
        (attribute.derived, part)
        for kind, parts in situation.standing.by_kind.items()
        for attribute in vocabulary.kinds[kind].attributes.values()
        if attribute.derived in WORKINGS
        for part in parts
    ]
    asked = [
        (WORKINGS[vocabulary.kinds[situation.standing.parts[key].kind].attributes[name].derived], key)
        for key, name in situation.worked
    ]
    took = timed(lambda: [WORKINGS[name](situation, part) for name, part in every])
    own = timed(lambda: [working(situation, situation.standing.parts[key]) for working, key in asked])
    rest = timed(lambda: judge(car, move, book, day)) - own
    label = f"all {len(every)} workings of the largest case / the rest of its judgement"
    return [bounded(label, f"{took * 1e3:.2f} ms / {rest * 1e3:.1f} ms", took / rest, under=1, decimals=2)]


def arranging() -> list[Row]:
    """Six axles and ten wheelsets against 200 whole judgements of the same car under the same rules: where an
    arrangement holds, and where none does, so that every one counts."""
    trucks = {"B": ["W-1", "W-2", "W-3"], "A": ["W-4", "W-5", "W-6"]}
    wheelsets = {f"W-{number}": wheelset(tapes=(100 + number, 100 + number)) for number in range(1, 7)}
    wheelsets |= {f"S-{number}": wheelset(tapes=(90 + 2 * number, 90 + 2 * number)) for number in range(1, 5)}
    held = {**wheelsets, "W-1": wheelset(bearing="plain"), "W-6": wheelset(bearing="plain")}
    sizes = dict(zip(wheelsets, range(40, 110, 7), strict=True))
    broken = {serial: wheelset(tapes=(size, size)) for serial, size in sizes.items()}
    rows = []
    with tempfile.TemporaryDirectory() as folder:
        law = library_in(Path(folder), sizes=True)
        for what, given in (("one holds", held), ("none holds", broken)):
            answer = checked(car_text(trucks, given), law)
            judged = answer.judgement
            if (place_wheels(answer).best is None) != (given is broken):
                raise SystemExit(f"place-wheels: {what}, but it does not say so")
            took = timed(partial(place_wheels, answer), 3)
            again = partial(judge, judged.car, judged.move, judged.rulebook, answer.day, evaluator=PlainEvaluator())
            one = timed(again)
            label = f"place-wheels, 6 axles, 10 wheelsets, {what} / one judgement"
            times = f"{took * 1e3:.0f} ms / {one * 1e3:.1f} ms"
            rows.append(bounded(label, times, took / one, most=200, decimals=0))
    return rows


def html_page(folder: Path) -> list[Row]:
    """The whole dossier of the largest case as an HTML file, its drawings made and its page laid out, against its
    judgement."""
    car, move = read_both(Place(folder), None)
    library = load_library(rulesets_folders())
    book = library.rulebooks(move).at_out
    answer = check(car, move, library, DAY_OF_LARGEST)
    took = timed(lambda: html_of([dossier_page(answer, drawn=True)]), 5)
    page = dossier_page(answer, drawn=True)
    written = timed(lambda: html_of([page]), 5)
    own = timed(lambda: judge(car, move, book, DAY_OF_LARGEST), 5)
    return [
        bounded("HTML written from the page of the largest case / its judgement",
                f"{written * 1e3:.0f} ms / {own * 1e3:.1f} ms", written / own, under=20),
        Row("  with its drawings made and its page laid out", f"{took * 1e3:.0f} ms", f"{took / own:.1f}"),
    ]  # fmt: skip


def cold(case: Path) -> list[Row]:
    """A whole process each time, in turn, so that a drift of the machine hits both. Both have their bytecode, as
    installed packages do, and the rulesets were read once before."""
    with tempfile.TemporaryDirectory() as folder:
        environment = {**os.environ, "PYTHONPYCACHEPREFIX": folder}
        environment.pop("PYTHONDONTWRITEBYTECODE", None)
        codes = {"ours": CHECK.format(case=str(case)), "base": BASE, "memory": _MEMORY.format(case=str(case))}
        pdf = str(Path(folder) / "dossier.pdf")
        codes["pdf"] = codes["ours"].replace("'check', ", f"'check', '--format', 'pdf', '--output', {pdf!r}, ")
        times: dict[str, list[float]] = {"ours": [], "base": [], "pdf": []}
        for run in range(10):
            for name, taken in times.items():
                start = time.perf_counter()
                command = [sys.executable, "-c", codes[name]]
                subprocess.run(command, stdout=subprocess.DEVNULL, env=environment, check=False)
                if run:
                    taken.append(time.perf_counter() - start)
        peak = subprocess.run(
            [sys.executable, "-c", codes["memory"]], stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True,
            env=environment, check=False,
        )  # fmt: skip
    took, least, paper = median(times["ours"]), median(times["base"]), median(times["pdf"])
    memory = int(peak.stderr.split()[-1]) / 1024
    return [
        bounded("carknocker check, cold / `import typer, pydantic, …`", f"{took:.2f} s / {least:.2f} s", took / least,
                most=4, decimals=2),
        bounded("the same to PDF / to text", f"{paper:.2f} s / {took:.2f} s", paper / took, most=4),
        bounded("  seconds that the PDF takes more", f"{paper - took:.2f} s", paper - took, most=1, shown=False),
        bounded("peak memory of that check, MiB", f"{memory:.0f} MiB", memory, under=128, shown=False),
    ]  # fmt: skip


CHECK = "from carknocker.cli.start import command; import sys; sys.argv = ['carknocker', 'check', {case!r}]; command()"
BASE = "import typer, pydantic, yaml, durable.engine"
_MEMORY = """
import resource, sys
try:
    from carknocker.cli.start import main
    sys.argv = ['carknocker', 'check', {case!r}]
    main()
finally:
    print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss, file=sys.stderr)
"""


DAY_OF_LARGEST = date(2026, 10, 28)
FURTHER = {
    "wheel": {"tape_size": "20 tapes", "tape_base": "100 in", "tape_id": "T-1"},
    "bearing": {"running_temperature": "140 °F", "ambient_temperature": "60 °F"},
    "truck": {"axle_spacing": "66 in"},
}


def fully_read(car: CarRecord) -> CarRecord:
    """The car with what most workings want, read on the day, so that they work something out."""
    vocabulary = load_vocabulary()
    further = []
    for part in car.parts:
        for name, text in FURTHER.get(part.kind, {}).items():
            kind = vocabulary.kinds[part.kind].attributes[name].type
            value = Word(text) if kind == "identity" else Figure(read_quantity(text, kind))
            sort = "reading" if part.kind != "truck" else "description"
            further.append(random_worlds.reading(part.key, name, value, DAY_OF_LARGEST, sort=sort))
    return replace(car, evidence=(*car.evidence, *further))


def main() -> int:
    """Prints the table. The status is 1 where something is not within its bound."""
    case = Path(__file__).resolve().parents[2] / "cases" / "wren-hollow" / "before"
    wrong: list[str] = []
    print(f"{'what':<78}  {'time':>24}  ratio")
    for part in (
        lambda: judged_whole(case, timed_in_turn),
        lambda: comparisons_against_peers(case, timed_in_turn),
        against_peers,
        lambda: whole(3, 20),
        lambda: whole(13, 5),
        lambda: workings(case.parent / "after"),
        lambda: html_page(case.parent / "after"),
        arranging,
        lambda: cold(case),
        fleet,
    ):
        for row in part():
            print(f"{row.what:<78}  {row.took:>24}  {row.ratio}", flush=True)
            if not row.within:
                wrong.append(row.what)
    print("\n".join(f"not within its bound: {one}" for one in wrong) or "all within the bounds")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
