"""Judges in the background: the cars whose rows in the list no longer say how they stand."""

from concurrent.futures import ThreadPoolExecutor
from threading import Event, Thread

from sqlalchemy.exc import SQLAlchemyError

from carknocker.service.asked import Refused
from carknocker.service.keeping import Keeping
from carknocker.service.log import Log

_LOOKS_AGAIN_SECONDS = 30.0
"""How long it takes at most until a new day, or what another process wrote, is seen."""
_AT_ONCE = 200


class Background:
    """A thread that has the workers judge what waits, and uses no more than half of them for it. Of several processes
    on one database each judges what no other does."""

    def __init__(self, keeping: Keeping, log: Log, *, looks_again: float = _LOOKS_AGAIN_SECONDS) -> None:
        self._keeping = keeping
        self._log = log
        self._looks_again = looks_again
        self._stop = Event()
        self._pool = ThreadPoolExecutor(max(1, keeping.workers.processes // 2), "background")
        self._thread = Thread(target=self._run, name="background", daemon=True)

    def start(self) -> None:
        """Begins."""
        self._thread.start()

    def stop(self) -> None:
        """Begins no further judgement."""
        self._stop.set()
        self._keeping.changed.set()

    def join(self) -> None:
        """Waits for the judgements that are under way."""
        self._pool.shutdown(cancel_futures=True)
        if self._thread.is_alive():
            self._thread.join()

    def _run(self) -> None:
        while not self._stop.is_set():
            self._keeping.changed.clear()
            try:
                done = self.judge_waiting()
            except SQLAlchemyError as error:  # the database is away; whoever asks /healthz is told
                self._log.error("background", error)
                done = 0
            if done == 0:
                self._keeping.changed.wait(self._looks_again)

    def judge_waiting(self) -> int:
        """Judges some of the cars that wait, those first that move first; says how many it has judged."""
        waiting = self._keeping.waiting(_AT_ONCE)
        return sum(self._pool.map(self._judged, waiting))

    def _judged(self, car_id: str) -> bool:
        if self._stop.is_set():
            return False
        try:
            with self._keeping.history.claimed(car_id) as mine:
                if not mine or not self._keeping.waits(car_id):  # another process judges it, or has
                    return False
                self._keeping.judge(car_id)
        except (Refused, SQLAlchemyError):  # it waits on
            return False
        except Exception as error:  # of this car alone, or a disk without room: the others are judged, and it waits on
            self._log.error("background", error)
            return False
        return True
