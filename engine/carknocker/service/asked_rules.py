"""What the service may be asked of rules, by the functions of `carknocker rules`. Runs in worker processes."""

import msgspec
from msgspec.structs import replace

from carknocker.documents.node import Location
from carknocker.judgement.names import NotFound
from carknocker.page.model import Page
from carknocker.rulebook.library import Library, rulesets_folders
from carknocker.rulebook.model import Edition
from carknocker.service.asked import MEDIA_TYPES, Form, Said, in_plain_words, library_of
from carknocker.service.asked_questions import written

Texts = tuple[tuple[str, str], ...]


class EditionLine(msgspec.Struct, frozen=True):
    """An edition at hand. rows: what its head says, in the words of `rules list`."""

    ruleset: str
    edition: str
    rows: tuple[tuple[str, str], ...]

    @property
    def name(self) -> str:
        """By which it is asked for: `us-federal/2015`."""
        return f"{self.ruleset}/{self.edition}"


def editions(texts: Texts) -> tuple[EditionLine, ...]:
    """The editions at hand, oldest first within a ruleset. texts: of the rulesets that were sent in. Raises Refused."""
    from carknocker.questions.rules_list.ask import list_rules
    from carknocker.wording.edition_text import edition_rows

    with in_plain_words():
        listed = list_rules(library_of(texts))
        placed = (replace(one, where=_among_the_rules(one.where)) for one in listed)
        return tuple(EditionLine(one.ruleset, one.edition, tuple(edition_rows(one))) for one in placed)


def editions_listed(texts: Texts, form: Form) -> Said:
    """The editions at hand, as `rules list` writes them. Raises Refused."""
    from carknocker.page.edition_json import editions_json
    from carknocker.questions.rules_list.ask import list_rules
    from carknocker.questions.rules_list.page import editions_page

    with in_plain_words():
        placed = [replace(one, where=_among_the_rules(one.where)) for one in list_rules(library_of(texts))]
        body = written(lambda: editions_page(placed), lambda: editions_json(placed), form)
        return Said(body, MEDIA_TYPES[form], "")


def edition_shown(texts: Texts, ruleset: str, edition: str, rule: str, form: Form) -> Said:
    """What an edition says, or one rule of it, each with its source. Raises Refused."""
    from carknocker.page.edition_json import editions_json
    from carknocker.questions.rules_show.ask import show_rules
    from carknocker.questions.rules_show.page import rules_page

    with in_plain_words():
        found = show_rules(library_of(texts), ruleset, edition, rule or None)
        shown = replace(
            found,
            edition=replace(found.edition, where=_among_the_rules(found.edition.where)),
            rules=tuple(replace(one, where=_among_the_rules(one.where)) for one in found.rules),
        )
        body = written(lambda: rules_page(shown), lambda: editions_json((shown.edition,), shown.rules), form)
        return Said(body, MEDIA_TYPES[form], "")


def _among_the_rules(where: Location) -> Location:
    """A place by the file's path among the rules: where they lie on this machine is for nobody to know."""
    for folder in rulesets_folders():
        file = where.file.removeprefix(f"{folder}/")
        if file != where.file:
            return replace(where, file=file)
    return where


def editions_compared(texts: Texts, before: str, after: str, form: Form) -> Said:
    """What changes between two editions, each named `ruleset/edition`. Raises Refused."""
    from carknocker.questions.rules_diff.ask import diff_editions
    from carknocker.questions.rules_diff.json_form import rules_diff_json
    from carknocker.questions.rules_diff.page import rules_diff_page

    with in_plain_words():
        library = library_of(texts)
        answer = diff_editions(_edition(library, before), _edition(library, after), ())
        page: Page = rules_diff_page(answer)
        return Said(written(lambda: page, lambda: rules_diff_json(answer), form), MEDIA_TYPES[form], "")


def _edition(library: Library, name: str) -> Edition:
    """An edition at hand by its name; no folder is looked at for it. Raises NotFound."""
    ruleset, _, edition = name.partition("/")
    known = [f"{head.ruleset}/{head.name}" for heads in library.heads.values() for head in heads]
    if name not in known:
        raise NotFound("edition", name, known, "here")
    return library.edition(ruleset, edition)
