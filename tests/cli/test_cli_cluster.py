"""`carknocker check --scheduler`: the same answer from a cluster, byte for byte, or a plain word why there is none."""

import json
import logging
import os
import re
import shutil
import socket
import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from datetime import date
from pathlib import Path

import dask
import msgspec
import pytest
import trustme
from command_line import CASES, ROOT, invoke
from command_line import carknocker as run
from distributed import Client, LocalCluster, Security

import carknocker
from carknocker.cli.inputs import find_place
from carknocker.questions.check import cluster
from carknocker.questions.check.cluster import ClusterRefused, cluster_at
from carknocker.questions.check.cluster_work import judged_there, own_program
from carknocker.questions.check.fleet import library_in
from carknocker.questions.check.fleet_json import dossier_text
from carknocker.questions.check.many_cars import PlaceToCheck
from carknocker.rulebook.sent_library import sent_of

DAY = ("--as-of", "2026-10-08")


@pytest.fixture(scope="module")
def fleet(tmp_path_factory):
    """Cars with a move each, one that can't be read, one without a move, one with rulesets of its own beside it."""
    folder = tmp_path_factory.mktemp("fleet")
    for number, case in enumerate(("before", "after", "before", "before")):
        shutil.copytree(CASES / "wren-hollow" / case, folder / f"car-{number}")
    (folder / "car-2" / "car.yaml").write_text("x: [")
    (folder / "car-3" / "move.yaml").unlink()
    shutil.copytree(CASES / "two-nations" / "north", folder / "own" / "car-4")
    own = folder / "own" / "car-4" / "rulesets" / "a-host" / "4"
    shutil.copytree(ROOT / "rulesets" / "brackwater-and-inland" / "4", own)
    for file in (*own.glob("*.yaml"), folder / "own" / "car-4" / "move.yaml"):
        text = file.read_text("utf-8").replace("brackwater-and-inland", "a-host")
        file.write_text(text.replace("Brackwater & Inland", "A Host"), "utf-8")
    return folder


@pytest.fixture(scope="module")
def threads(tmp_path_factory):
    """The address of a cluster of two workers in this process."""
    folder = tmp_path_factory.mktemp("dask")
    with LocalCluster(
        n_workers=2, threads_per_worker=1, processes=False, protocol="tcp://", dashboard_address=None,
        local_directory=str(folder),
    ) as made:  # fmt: skip
        yield made.scheduler_address


@pytest.mark.parametrize("more", [("--table",), ("--table", "--format", "json"), ("--format", "json")])
def test_a_cluster_gives_the_same_answer_byte_for_byte(fleet, threads, more):
    here = invoke("check", fleet, *DAY, *more)
    there = invoke("check", fleet, *DAY, *more, "--scheduler", threads)
    assert (there.stdout_bytes, there.stderr_bytes, there.exit_code) == (
        here.stdout_bytes, here.stderr_bytes, here.exit_code,
    )  # fmt: skip
    assert here.exit_code == 2
    assert "Wren Hollow" in here.stdout


def test_what_is_judged_there_reads_no_file_of_the_car_or_of_its_rulesets(fleet, tmp_path):
    folder = tmp_path / "sent"
    shutil.copytree(fleet / "own" / "car-4", folder)
    car = PlaceToCheck(find_place(folder), None, ())
    texts, library = cluster._texts_of(car), sent_of(library_in(car.folders, None))
    shutil.rmtree(folder)
    done = judged_there(texts, library, date(2026, 10, 8), dossier_text, own_program())
    assert done.outcome == "not ready"
    assert '"ruleset": "a-host"' in done.answer


def refused(*arguments):
    answer = invoke("check", *arguments)
    assert (answer.exit_code, answer.stdout) == (2, "")
    return answer.stderr


@contextmanager
def cluster_refused(why):
    with pytest.raises(ClusterRefused) as refusal:
        yield
    assert why in str(refusal.value)


def test_a_scheduler_that_is_not_there_is_said(fleet):
    with socket.create_server(("127.0.0.1", 0)) as one:
        address = f"tcp://127.0.0.1:{one.getsockname()[1]}"
    with (
        cluster_refused(f"no scheduler of Dask that can be used answers at {address}"),
        cluster_at(address, connects=0.3),
    ):
        pass
    assert logging.root.manager.disable == logging.NOTSET


@pytest.mark.parametrize(
    "address", ["127.0.0.1:8786", "http://host:8786", "tcp://host", "tcp://a b:1", "inproc://1/2/3"]
)
def test_an_address_of_another_shape_is_refused(fleet, address):
    said = refused(fleet, *DAY, "--table", "--scheduler", address)
    assert said == f"`{address}` is no address of a scheduler; expected tcp://HOST:PORT or tls://HOST:PORT\n"


@pytest.fixture(scope="module")
def tls(tmp_path_factory):
    """The address of a cluster of two workers by TLS, and the configuration of a client that its authority knows."""
    folder = tmp_path_factory.mktemp("tls")
    authority = trustme.CA()
    with LocalCluster(
        n_workers=2, threads_per_worker=1, processes=False, protocol="tls://", dashboard_address=None,
        local_directory=str(folder), security=Security(**certificates(folder, authority)),
    ) as made:  # fmt: skip
        yield made.scheduler_address, certificates(folder, authority)


def certificates(folder, authority):
    """Files of an authority and of certificates by it, as keyword arguments of Security."""
    folder = folder / str(len(list(folder.iterdir())))
    folder.mkdir()
    issued = authority.issue_cert("localhost")
    authority.cert_pem.write_to_path(str(folder / "ca.pem"))
    issued.private_key_and_cert_chain_pem.write_to_path(str(folder / "own.pem"))
    own = str(folder / "own.pem")
    roles = {f"tls_{role}_{kind}": own for role in ("scheduler", "worker", "client") for kind in ("cert", "key")}
    return {"tls_ca_file": str(folder / "ca.pem"), **roles}


def as_configured(given):
    """As Dask's configuration has what a client needs, in a file or in the environment."""
    return dask.config.set({
        "distributed.comm.tls.ca-file": given["tls_ca_file"],
        "distributed.comm.tls.client.cert": given["tls_client_cert"],
        "distributed.comm.tls.client.key": given["tls_client_key"],
    })  # fmt: skip


def test_a_cluster_by_tls_gives_the_same_answer_byte_for_byte(fleet, tls):
    address, known = tls
    assert address.startswith("tls://")
    here = invoke("check", fleet, *DAY, "--format", "json")
    with as_configured(known):
        there = invoke("check", fleet, *DAY, "--format", "json", "--scheduler", address)
    assert (there.stdout_bytes, there.stderr_bytes, there.exit_code) == (
        here.stdout_bytes, here.stderr_bytes, here.exit_code,
    )  # fmt: skip


def test_without_a_certificate_of_its_authority_a_cluster_by_tls_is_not_reached(fleet, tls, tmp_path):
    address, known = tls
    asked = (fleet, *DAY, "--table", "--scheduler", address)
    assert refused(*asked) == (
        "tls:// takes certificates, named in Dask's configuration: distributed.comm.tls with ca-file, client.cert and "
        "client.key\n"
    )
    with as_configured({**known, "tls_client_cert": str(tmp_path / "none.pem")}):
        assert "the certificates in Dask's configuration can't be used" in refused(*asked)
    stranger = certificates(tmp_path, trustme.CA())
    for given in (stranger, {**stranger, "tls_ca_file": known["tls_ca_file"]}):
        with (
            as_configured(given),
            cluster_refused("no scheduler of Dask that can be used answers at tls://"),
            cluster_at(address, connects=1),
        ):
            pass


def test_a_cluster_without_a_worker_is_said(tmp_path):
    with (
        LocalCluster(n_workers=0, processes=False, protocol="tcp://", dashboard_address=None,
                     local_directory=str(tmp_path)) as made,
        cluster_refused(f"the scheduler at {made.scheduler_address} has no worker that answers"),
        cluster_at(made.scheduler_address, waits=0.3),
    ):  # fmt: skip
        pass


@pytest.mark.parametrize(
    ("change", "words"),
    [({"version": "9.9"}, "runs carknocker 0.1.0; install there what is installed here, 9.9"),
     ({"digest": "0"}, "runs carknocker 0.1.0 with other files; install there"),
     ({"evaluator": "other"}, "runs carknocker 0.1.0 and chains with")],
)  # fmt: skip
def test_a_worker_with_another_program_is_refused(threads, change, words):
    other = msgspec.structs.replace(own_program(), **change)
    with cluster_refused(words), cluster_at(threads, program=other):
        pass


def test_a_worker_with_another_program_that_comes_later_is_refused_too(fleet, threads):
    car = PlaceToCheck(find_place(fleet / "car-0"), None, ())
    with cluster_at(threads) as made, cluster_refused("runs carknocker 0.1.0; install there what is installed here, 9"):
        made.program = msgspec.structs.replace(own_program(), version="9")
        list(made.results([car], date(2026, 10, 8), dossier_text))


def test_workers_that_are_all_gone_are_missed(threads):
    """Seen from the watch alone: nothing was answered within the time."""
    with cluster_at(threads, waits=0.4) as made:
        made._client.scheduler.ncores = None  # the question about workers fails from now on
        waits = made.send(time.sleep, 2)
        with cluster_refused("has no worker any more"):
            waits.result(10)


def test_what_a_cluster_is_not_for_is_said(fleet):
    address = ("--scheduler", "tcp://127.0.0.1:9")
    assert "add `--table`" in refused(fleet / "car-0", *DAY, *address)
    assert "add `--table`" in refused(fleet, *DAY, "--pages", *address)
    assert "leave out `--processes`" in refused(fleet, *DAY, "--table", "--processes", "2", *address)


def test_where_the_package_is_missing_it_is_said(fleet, monkeypatch):
    monkeypatch.setitem(sys.modules, "distributed", None)
    said = refused(fleet, *DAY, "--table", "--scheduler", "tcp://127.0.0.1:9")
    assert "pip install 'carknocker[cluster]'" in said


def test_nothing_of_it_is_imported_unless_it_is_asked_for():
    program = (
        "import sys; from carknocker.cli.main import app\n"
        "try: app(['check', 'wren-hollow', '--table', '--as-of', '2026-10-08'])\n"
        "except SystemExit: pass\n"
        "print([name for name in ('distributed', 'dask', 'tornado') if name in sys.modules])"
    )
    answer = subprocess.run([sys.executable, "-c", program], cwd=ROOT, capture_output=True, text=True, check=False)
    assert answer.stdout.splitlines()[-1] == "[]"


@contextmanager
def processes(folder, workers, python_path=""):
    """A scheduler and workers, each a process that nobody starts again, and the scheduler's address."""
    file = folder / "scheduler.json"
    path = os.pathsep.join(filter(None, [str(python_path), os.environ.get("PYTHONPATH", "")]))
    environment = {**os.environ, "PYTHONPATH": path}
    common = ["--scheduler-file", str(file), "--no-dashboard"]
    started = [subprocess.Popen(
        [sys.executable, "-m", "distributed.cli.dask_scheduler", "--host", "127.0.0.1", "--port", "0", *common],
        cwd=folder, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
    )]  # fmt: skip
    started += [subprocess.Popen(
        [sys.executable, "-m", "distributed.cli.dask_worker", "--no-nanny", "--nthreads", "1", "--host", "127.0.0.1",
         "--local-directory", str(folder), *common],
        cwd=folder, env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
    ) for _ in range(workers)]  # fmt: skip
    try:
        until = time.monotonic() + 60
        while not file.exists():
            assert time.monotonic() < until
            time.sleep(0.05)
        yield json.loads(file.read_text())["address"], started
    finally:
        for one in started:
            one.kill()
            one.wait()


def all_there(address, number):
    with Client(address, set_as_default=False) as client:
        client.wait_for_workers(number, timeout=60)


@pytest.mark.long
def test_two_processes_give_the_same_answer_also_where_one_of_them_is_lost_and_none_is_left_said(tmp_path):
    cars = tmp_path / "cars"
    for number in range(60):
        shutil.copytree(CASES / "wren-hollow" / ("before" if number % 3 else "after"), cars / f"car-{number}")
    here = run("check", cars, *DAY, "--format", "json")
    with processes(tmp_path, 2) as (address, (_, first, second)):
        all_there(address, 2)
        there = run("check", cars, *DAY, "--format", "json", "--scheduler", address)
        assert (there.stdout, there.stderr, there.returncode) == (here.stdout, here.stderr, here.returncode)

        def kill(when, *workers):
            with ThreadPoolExecutor(1) as asker:
                asked = asker.submit(run, "check", cars, *DAY, "--format", "json", "--scheduler", address)
                time.sleep(when)
                for one in workers:
                    one.kill()
                return asked.result()

        left = kill(4, first)
        assert (left.stdout, left.stderr, left.returncode) == (here.stdout, here.stderr, here.returncode)
        lost = kill(2.5, second)
        assert lost.returncode == 2
        assert re.fullmatch(r"the (cluster|scheduler) at \S+ has no worker (any more|that answers)\n", lost.stderr)


@pytest.mark.long
def test_a_scheduler_that_ends_while_it_is_asked_is_said(tmp_path):
    cars = tmp_path / "cars"
    for number in range(60):
        shutil.copytree(CASES / "wren-hollow" / "before", cars / f"car-{number}")
    with processes(tmp_path, 1) as (address, (scheduler, _)), ThreadPoolExecutor(1) as asker:
        all_there(address, 1)
        asked = asker.submit(run, "check", cars, *DAY, "--table", "--scheduler", address)
        time.sleep(4)
        scheduler.kill()
        answer = asked.result()
    assert (answer.returncode, answer.stdout) == (2, "")
    assert re.fullmatch(r"(the|no) scheduler .*(any more; what it was asked is lost|answers at \S+)\n", answer.stderr)


@pytest.mark.long
def test_a_worker_with_another_version_is_refused(tmp_path):
    package = tmp_path / "other"
    shutil.copytree(Path(carknocker.__file__).parent, package / "carknocker", ignore=shutil.ignore_patterns("__pyc*"))
    start = package / "carknocker" / "__init__.py"
    start.write_text(start.read_text("utf-8").replace(carknocker.__version__, "0.0.9"), "utf-8")
    with processes(tmp_path, 1, package) as (address, _):
        all_there(address, 1)
        answer = run("check", CASES, *DAY, "--table", "--scheduler", address)
    assert (answer.returncode, answer.stdout) == (2, "")
    assert "runs carknocker 0.0.9; install there what is installed here, 0.1.0" in answer.stderr
