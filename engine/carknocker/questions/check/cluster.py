"""Many cars judged on a cluster of Dask, by a scheduler's address. The workers need the same program, and no file of
the cars, of the moves or of the rulesets."""

import logging
import re
import time
import warnings
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Executor, Future, InvalidStateError
from contextlib import contextmanager, suppress
from datetime import date
from importlib import import_module
from pathlib import Path
from threading import Event, Lock, Thread
from typing import Any, Protocol, TypeVar

from carknocker.cli.inputs import Place, move_file_of, own_cache_dir
from carknocker.cli.output import OutputRefused
from carknocker.cli.photographs import digests_of_all_beside
from carknocker.documents import InputRefused, ProblemList, load_text
from carknocker.judgement.answer import CheckAnswer
from carknocker.questions.check.cluster_work import OtherProgram, Program, judged_there, own_program, sent_on
from carknocker.questions.check.fleet import CarResult, CarTexts, Work, in_order, library_in
from carknocker.record.files import find_car
from carknocker.record.model import CarRecord, Move
from carknocker.rulebook.library import Library
from carknocker.rulebook.sent_library import SentLibrary, sent_of

Answer = TypeVar("Answer")

_ADDRESS = re.compile(r"(?:tcp|tls)://(?:[A-Za-z0-9.-]{1,253}|\[[0-9A-Fa-f:.]{2,45}\]):[0-9]{1,5}")
_CONNECTS_WITHIN_SECONDS = 10.0
_WAITS_FOR_WORKERS_SECONDS = 15.0
_LIBRARIES = 8
_AHEAD = 4
"""How many cars are sent for each thread of the cluster ahead of their answers."""


class ClusterRefused(OutputRefused):
    """The cluster can't be used, or not any more; says why."""


class CarThere(Protocol):
    """A car that is judged on the cluster."""

    @property
    def name(self) -> str:
        """The name under which its answer comes back."""

    @property
    def place(self) -> Place:
        """Where it is."""

    @property
    def move(self) -> Place | None:
        """The move given for all cars; None: the only one in its folder."""

    @property
    def folders(self) -> tuple[Path, ...]:
        """The ruleset folders that it is judged by, here."""

    def read(self) -> tuple[CarRecord, Move]:
        """The car and its move. Raises InputRefused with every problem of both."""


@contextmanager
def cluster_at(
    address: str, *, connects: float = _CONNECTS_WITHIN_SECONDS, waits: float = _WAITS_FOR_WORKERS_SECONDS,
    program: Program | None = None,
) -> Iterator["Cluster"]:  # fmt: skip
    """The cluster of a scheduler. connects: seconds within which it has to answer. waits: seconds for which it may be
    without a worker. program: which the workers have to run; None: this one.

    Raises ClusterRefused where the package for it is missing, no scheduler answers, it has no worker, or a worker runs
    another program than this one.
    """
    if _ADDRESS.fullmatch(address) is None:
        raise ClusterRefused(
            f"`{address[:80]}` is no address of a scheduler; expected tcp://HOST:PORT or tls://HOST:PORT"
        )
    try:
        distributed: Any = import_module("distributed")
    except ModuleNotFoundError as missing:
        told = f"a cluster needs packages that are not installed ({missing.name}): pip install 'carknocker[cluster]'"
        raise ClusterRefused(told) from None
    with _quiet():
        if address.startswith("tls:"):
            _look_at_certificates(distributed)
        try:
            client = distributed.Client(address, timeout=connects, set_as_default=False)
        except Exception:  # of many kinds: it is down, it is no scheduler, or it speaks another version
            raise ClusterRefused(f"no scheduler of Dask that can be used answers at {address}") from None
        try:
            with Cluster(client, address, waits, program or own_program()) as cluster:
                yield cluster
        finally:
            with suppress(Exception):  # it may be gone
                client.close(timeout=2)


def _look_at_certificates(distributed: Any) -> None:
    """Raises ClusterRefused where Dask's configuration names no certificates for TLS, or some that can't be used."""
    named = "distributed.comm.tls with ca-file, client.cert and client.key"
    try:
        context = distributed.Security().get_connection_args("client")["ssl_context"]
    except (OSError, ValueError):  # ssl.SSLError is an OSError
        raise ClusterRefused(f"the certificates in Dask's configuration can't be used: {named}") from None
    if context is None:
        raise ClusterRefused(f"tls:// takes certificates, named in Dask's configuration: {named}")


@contextmanager
def _quiet() -> Iterator[None]:
    """What the library would log is said in our words, or nobody's concern."""
    before = logging.root.manager.disable
    logging.disable(logging.CRITICAL)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            yield
    finally:
        logging.disable(before)


class Cluster:
    """A scheduler with its workers, all of which run this program."""

    def __init__(self, client: Any, address: str, waits: float, program: Program) -> None:
        """client: of Dask. Raises ClusterRefused."""
        self._client = client
        self._address = address
        self._waits = waits
        self.program = program
        self._under_way: set[Future[Any]] = set()
        self._lock = Lock()
        self._done = Event()
        self._threads = self._looked_at()
        self._watch = Thread(target=self._watch_workers, daemon=True)

    def __enter__(self) -> "Cluster":
        self._watch.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._done.set()
        self._watch.join()

    def results(
        self, cars: Iterable[CarThere], as_of: date, extract: Callable[[CheckAnswer], Answer]
    ) -> Iterator[CarResult[Answer]]:
        """The result for each car, in the order of the cars, as `check_fleet` gives it. Raises ClusterRefused where the
        cluster is lost."""
        work = Work(as_of, extract, own_cache_dir())
        sender = _Sender(self, as_of, extract)
        yield from in_order(work, cars, sender, _AHEAD * self._threads, self._lost)

    def send(self, function: Callable[..., Any], *given: Any) -> "Future[Any]":
        """Has a worker do something."""
        future: Future[Any] = self._client.get_executor(pure=False).submit(function, *given)
        with self._lock:
            self._under_way.add(future)
        future.add_done_callback(self._forget)
        return future

    def keep(self, library: SentLibrary) -> Any:
        """A library on the cluster, to be given to `send`."""
        return self._client.submit(sent_on, library, key=f"carknocker-{library.digest}")

    def _forget(self, future: "Future[Any]") -> None:
        with self._lock:
            self._under_way.discard(future)

    def _looked_at(self) -> int:
        """How many threads judge. Raises ClusterRefused where there is none, or one by another program."""
        try:
            self._client.wait_for_workers(1, timeout=self._waits)
            told = self._client.run(own_program, on_error="return")
            threads = sum(self._client.nthreads().values())
        except Exception:
            raise ClusterRefused(f"the scheduler at {self._address} has no worker that answers") from None
        for worker, program in told.items():
            if program != self.program:
                raise ClusterRefused(f"the worker at {worker} {_difference(program, self.program)}")
        return max(1, int(threads))

    def _watch_workers(self) -> None:
        """Ends the waiting for answers where no worker is left that could give them."""
        seen = time.monotonic()
        while not self._done.wait(min(1.0, self._waits / 4)):
            try:
                there = bool(self._client.sync(self._client.scheduler.ncores, callback_timeout=self._waits))
            except Exception:  # the scheduler does not answer; if it is gone, what was sent to it is called off
                there = False
            now = time.monotonic()
            seen = now if there else seen
            if now - seen >= self._waits:
                with self._lock:
                    lost = list(self._under_way)
                for future in lost:
                    with suppress(InvalidStateError):
                        future.set_exception(ClusterRefused(f"the cluster at {self._address} has no worker any more"))

    def _lost(self, car: CarThere, error: Exception) -> CarResult[Any]:
        """What is said where there is no answer for a car. Raises ClusterRefused unless it is the car's own doing."""
        from distributed import KilledWorker

        if isinstance(error, KilledWorker):
            return CarResult(car.name, reason="every process of the cluster that judged it ended")
        if isinstance(error, ClusterRefused):
            raise error
        if isinstance(error, OtherProgram):
            raise ClusterRefused(f"a worker of {self._address} {_difference(error.args[0], self.program)}")
        raise ClusterRefused(f"the scheduler at {self._address} does not answer any more; what it was asked is lost")


def _difference(program: object, own: Program) -> str:
    if not isinstance(program, Program):
        return f"has no carknocker that answers; install {own.version} there"
    what = f"runs carknocker {program.version}"
    if program.version == own.version:
        what += " with other files" if program.digest != own.digest else f" and chains with {program.evaluator}"
    return f"{what}; install there what is installed here, {own.version}"


class _Sender(Executor):
    """Sends each car with all that its answer is made of. One whose files can't be read is answered here, where they
    are."""

    def __init__(self, cluster: Cluster, as_of: date, extract: Callable[[CheckAnswer], Any]) -> None:
        self._cluster = cluster
        self._as_of = as_of
        self._extract = extract
        self._libraries: dict[int, tuple[Library, Any]] = {}

    def submit(self, work: Callable[..., Any], car: CarThere, /) -> "Future[Any]":  # type: ignore[override]
        """The future result for a car. work: what is done with it here."""
        try:
            texts, library = _texts_of(car), self._library(car)
        except (InputRefused, OSError):
            done: Future[Any] = Future()
            done.set_result(work(car))
            return done
        return self._cluster.send(judged_there, texts, library, self._as_of, self._extract, self._cluster.program)

    def _library(self, car: CarThere) -> Any:
        library = library_in(car.folders, own_cache_dir())
        if id(library) not in self._libraries:
            if len(self._libraries) >= _LIBRARIES:
                del self._libraries[next(iter(self._libraries))]
            self._libraries[id(library)] = library, self._cluster.keep(sent_of(library))
        return self._libraries[id(library)][1]


def _texts_of(car: CarThere) -> CarTexts:
    """The texts of a car and its move, under the names that messages show for them. Raises InputRefused."""
    problems = ProblemList()
    car_file, move_file = find_car(car.place.path), move_file_of(car.place, car.move)
    record, move = load_text(car_file, problems), load_text(move_file, problems)
    problems.refuse_if_any()
    photographs = digests_of_all_beside(car_file) if "photographs" in (record or "") else {}
    return CarTexts(
        car.name, record or "", move or "", (), car.place.shown(car_file),
        (car.place if car.move is None else car.move).shown(move_file), photographs,
    )  # fmt: skip
