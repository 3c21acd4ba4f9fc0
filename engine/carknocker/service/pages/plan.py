"""The plan of a car's work, with boxes to tick as work gets done: what is ticked is written into the work log."""

from collections import defaultdict
from typing import Any

from fastapi import APIRouter, Depends, Request, Response
from fastapi.concurrency import run_in_threadpool

from carknocker.service import asked_plan
from carknocker.service.access.roles import Role, Who, needs
from carknocker.service.asked import Refused
from carknocker.service.asked_plan import DoneJob, PlanToTick
from carknocker.service.keeping import Keeping
from carknocker.service.pages.parts import CHANGED, given_in, problem_words
from carknocker.service.pages.refusals import InWords
from carknocker.service.pages.showing import from_our_page, page
from carknocker.service.storage.history import Changed


def plan_of(keeping: Keeping) -> APIRouter:
    """The pages over the cars that are kept."""
    router = APIRouter(route_class=InWords, include_in_schema=False)
    ours = [Depends(from_our_page)]

    @router.get("/cars/{car}/work")
    @needs(Role.READER)
    def work(request: Request, car: str) -> Response:
        return _page(request, keeping, car)

    @router.post("/cars/{car}/work", dependencies=ours)
    @needs(Role.HELPER)
    async def done(request: Request, car: str, who: Who) -> Response:
        form = await request.form()
        ticked = tuple(value for value in form.getlist("done") if isinstance(value, str))
        return await run_in_threadpool(_done, request, keeping, car, ticked, given_in(form), who.name)

    return router


def _plan(keeping: Keeping, car: str) -> PlanToTick:
    return keeping.workers.ask(asked_plan.plan_to_tick, keeping.sources(car))


def _done(
    request: Request, keeping: Keeping, car: str, ticked: tuple[str, ...], given: dict[str, str], who: str
) -> Response:
    said = _plan(keeping, car)
    boxes = {step.job.name: step.job for step in said.steps if step.job is not None}
    again: dict[str, Any] = {"given": given, "ticked": ticked}
    if not ticked:
        return _page(request, keeping, car, 422, said="No box was ticked.", **again)
    gone = [name for name in ticked if name not in boxes]
    if gone:
        words = f"No longer in the plan, which changed meanwhile: {'; '.join(gone)[:400]}. Tick anew."
        return _page(request, keeping, car, 412, said=words, given=given)
    jobs = tuple(
        DoneJob(boxes[name], tuple((fact.key, given.get(f"{name}.{fact.key}", "")) for fact in boxes[name].facts))
        for name in dict.fromkeys(ticked)
    )
    form = asked_plan.form_of_jobs(said.mark, given.get("on", ""), given.get("by", ""), jobs)
    try:
        entered = keeping.enter_once(car, form.text.encode("utf-8"), "work.yaml", who, None)
    except Refused as refused:
        at_jobs: dict[str, str] = {}
        for one in refused.problems:
            name = next((name for first, last, name in form.lines if first <= one.where.line <= last), "")
            at_jobs[name] = "; ".join(filter(None, (at_jobs.get(name, ""), problem_words(one))))
        words = at_jobs.pop("", "") or (refused.said if not refused.problems else "")
        return _page(request, keeping, car, 422, said=words, at_jobs=at_jobs, **again)
    except Changed:
        return _page(request, keeping, car, 412, said=CHANGED, **again)
    held = {one.name: "; ".join(map(problem_words, one.problems)) for one in entered.held}
    written = [name for name in dict.fromkeys(ticked) if name not in held]
    words = "; ".join((*written, *entered.notes))
    return _page(request, keeping, car, 422 if held else 200, entered=words, at_jobs=held, given=given,
                 ticked=tuple(held))  # fmt: skip


def _page(
    request: Request, keeping: Keeping, car: str, status: int = 200, *, said: str = "", entered: str = "",
    at_jobs: dict[str, str] | None = None, given: dict[str, str] | None = None, ticked: tuple[str, ...] = (),
) -> Response:  # fmt: skip
    return page(
        request, "work", status, car=keeping.car(car), plan=_plan(keeping, car), said=said, entered=entered,
        at_jobs=defaultdict(str, at_jobs or {}), given=defaultdict(str, given or {}), ticked=ticked,
        today=keeping.today().isoformat(),
    )  # fmt: skip
