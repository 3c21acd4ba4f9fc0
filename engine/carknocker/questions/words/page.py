"""The words that may be written, as a page."""

from carknocker.page.model import Bullets, Item, Page, Paragraph, Rows, Section, Table
from carknocker.questions.words.ask import KeyToWrite, Words


def words_page(words: Words) -> Page:
    """A row for each key, by where it is written; of one key alone also its words with their other names."""
    if not words.of:
        rows = tuple((one.key, one.place, ", ".join(one.called), one.says) for one in words.keys)
        table = Table(
            "`carknocker words 'PART'` lists the keys of one", ("Part", "Section", "Also called", "Keys"), rows
        )
        return Page("Parts that a record knows", "", "plain", (Section("By kind", (table,)),))
    by_place: dict[str, list[KeyToWrite]] = {}
    for one in words.keys:
        by_place.setdefault(one.place, []).append(one)
    sections = tuple(
        Section(f"Write {place}", tuple(_item(one, alone=len(words.keys) == 1) for one in keys))
        for place, keys in by_place.items()
    )
    return Page(f"Words for {words.of}", "", "plain", sections)


def _item(one: KeyToWrite, *, alone: bool) -> Item:
    rows = [("write", one.says), ("means", one.label)]
    if one.measured:
        rows.append(("read", one.measured))
    if one.called:
        rows.append(("also called", ", ".join(one.called)))
    blocks = [Rows(tuple(rows))]
    if alone and one.words:
        called = Bullets(tuple(f"{word}: also called {', '.join(names)}" for word, names in one.words))
        return Item(one.key, (*blocks, Paragraph("Write the first word of each line:"), called))
    return Item(one.key, tuple(blocks))
