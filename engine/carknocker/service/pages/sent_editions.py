"""The pages of editions that were sent in: circulars of hosts that do not come with the program."""

from collections.abc import Mapping
from typing import Annotated, Any

from fastapi import APIRouter, Depends, Form, Request, Response, UploadFile
from fastapi.concurrency import run_in_threadpool

from carknocker.documents import show_problems
from carknocker.service.access.roles import Role, Who, needs
from carknocker.service.api.routes import kept_file
from carknocker.service.asked import Refused
from carknocker.service.bounds import Number
from carknocker.service.keeping import Keeping
from carknocker.service.not_taken import NotThere, NotUsable
from carknocker.service.pages.refusals import InWords
from carknocker.service.pages.showing import file_name, from_our_page, page, to
from carknocker.service.pages.texts import MOST_CHARACTERS, difference, lines_of
from carknocker.service.sent_editions import RULESETS
from carknocker.service.storage.history import Changed

SHOWN_AT_ONCE = 50
_FILE = "file."
_NOT_A_NAME = (
    "An edition is named by its ruleset and its edition, in letters, digits, `-`, `_` and `.`: for example, "
    "marrow-creek-and-eastern and 3. Its files end in .yaml."
)
Name = Annotated[str, Form(max_length=80)]


def sent_editions_of(keeping: Keeping) -> APIRouter:
    """The pages over the editions that were sent in."""
    router = APIRouter(route_class=InWords, include_in_schema=False)
    ours = [Depends(from_our_page)]

    @router.get("/rules/sent")
    @needs(Role.READER)
    def sent(request: Request, before: Number | None = None) -> Response:
        return _sent(request, keeping, before=before)

    @router.post("/rules/sent", dependencies=ours)
    @needs(Role.OWNER)
    def send(
        request: Request, who: Who, ruleset: Name, edition: Name, files: list[UploadFile],
        note: Annotated[str, Form(max_length=1_000)] = "",
    ) -> Response:  # fmt: skip
        named = {"ruleset": ruleset.strip(), "edition": edition.strip(), "note": note}
        try:
            texts = {file_name(one): one.file.read().decode("utf-8-sig") for one in files}
            keeping.sent_editions.accept(named["ruleset"], named["edition"], texts, who.name, note, "0")
        except UnicodeDecodeError:
            return _sent(request, keeping, 422, "One of the files is no text in UTF-8.", named)
        except NotThere:
            return _sent(request, keeping, 422, _NOT_A_NAME, named)
        except NotUsable as refused:
            return _sent(request, keeping, 422, refused.words, named)
        except Refused as refused:
            return _sent(request, keeping, 422, refused.words, named)
        except Changed:
            return _sent(request, keeping, 412, "This edition is here already: open it below, and change it.", named)
        return to(f"/rules/sent/{named['ruleset']}/{named['edition']}")

    @router.get("/rules/sent/{ruleset}/{edition}")
    @needs(Role.READER)
    def one(request: Request, ruleset: str, edition: str) -> Response:
        return _one(request, keeping, ruleset, edition)

    @router.post("/rules/sent/{ruleset}/{edition}", dependencies=ours)
    @needs(Role.OWNER)
    async def change(request: Request, ruleset: str, edition: str, who: Who) -> Response:
        form = await request.form()
        typed = {str(key): str(value) for key, value in form.multi_items() if isinstance(value, str)}
        return await run_in_threadpool(_change, request, keeping, ruleset, edition, typed, who.name)

    @router.get("/rules/history/{entry}/bytes")
    @needs(Role.READER)
    def kept(entry: Number) -> Response:
        return kept_file(*keeping.sent_editions.kept(entry))

    return router


def _sent(
    request: Request, keeping: Keeping, status: int = 200, said: str = "", typed: Mapping[str, str] | None = None,
    before: int | None = None,
) -> Response:  # fmt: skip
    history = keeping.history.versions(RULESETS, before=before, most=SHOWN_AT_ONCE)
    return page(
        request, "sent_editions", status, editions=keeping.sent_editions.all(), history=history, said=said,
        typed={"ruleset": "", "edition": "", "note": "", **(typed or {})},
        next=history[-1].id if len(history) == SHOWN_AT_ONCE else None,
    )  # fmt: skip


def _change(
    request: Request, keeping: Keeping, ruleset: str, edition: str, typed: dict[str, str], who: str
) -> Response:
    texts = {
        name.removeprefix(_FILE): lines_of(text)[:MOST_CHARACTERS] for name, text in typed.items()
        if name.startswith(_FILE)
    }  # fmt: skip
    new = typed.get("new_name", "").strip()
    if new and typed.get("new_text", "").strip():
        texts[new] = lines_of(typed["new_text"])[:MOST_CHARACTERS]
    kept = {name: text for name, text in texts.items() if text.strip()}
    again: dict[str, Any] = {"texts": texts, "note": typed.get("note", ""), "after": typed.get("after", "")}
    try:
        keeping.sent_editions.accept(ruleset, edition, kept, who, typed.get("note", "")[:1_000], again["after"])
    except NotThere:
        return _one(request, keeping, ruleset, edition, 422, said=_NOT_A_NAME, **again)
    except NotUsable as refused:
        shown = {f"rulesets/{ruleset}/{edition}/{name}": text for name, text in kept.items()}
        return _one(request, keeping, ruleset, edition, 422, said=show_problems(refused.problems, shown), **again)
    except Refused as refused:
        return _one(request, keeping, ruleset, edition, 422, said=refused.words, **again)
    except Changed:
        theirs = keeping.sent_editions.texts_of(keeping.sent_editions.one(ruleset, edition))
        told = (difference(texts.get(name, ""), theirs.get(name, "")) for name in sorted({*texts, *theirs}))
        other = "\n".join(filter(None, told)) or "no difference"
        again["after"] = None
        return _one(request, keeping, ruleset, edition, 412, other=other, **again)
    return to(f"/rules/sent/{ruleset}/{edition}")


def _one(
    request: Request, keeping: Keeping, ruleset: str, edition: str, status: int = 200, *, said: str = "",
    other: str = "", texts: Mapping[str, str] | None = None, note: str = "", after: str | None = None,
) -> Response:  # fmt: skip
    """texts: what was typed; those at hand if they are left out. after: the tag of what they were made from."""
    found = keeping.sent_editions.one(ruleset, edition)
    if not found.files:
        raise NotThere(found.name)
    shown = keeping.sent_editions.texts_of(found) if texts is None else texts
    return page(
        request, "sent_edition", status, edition=found, texts=shown,
        said=said, other=other, note=note, after=found.tag if after is None else after,
    )  # fmt: skip
