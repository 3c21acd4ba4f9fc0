"""An HTML page as a PDF, by WeasyPrint: an optional extra, because it needs system libraries."""

import contextlib
import hashlib
import io
import os
import re
from typing import Any

PAPER = "@page { size: 210mm 279mm }"
"""The width of A4 and the height of Letter, so that it prints unscaled on both."""
_KEPT_WORD = re.compile(r"<span>([^<]*)</span>")
"""A span that keeps a browser from breaking a word at its hyphens. WeasyPrint does not break there anyway, and with
spans it breaks lines too early, so they are taken out."""


class NoPdf(Exception):
    """No PDF can be made on this machine. The message says what is missing and what to do."""


def pdf_of(html: str) -> bytes:
    """The PDF of an HTML page: the same bytes for the same page, libraries and fonts. Raises NoPdf."""
    weasyprint = _weasyprint()
    fetcher = weasyprint.urls.URLFetcher(allowed_protocols=())  # nothing is loaded from outside
    page = weasyprint.HTML(string=_KEPT_WORD.sub(r"\1", html), url_fetcher=fetcher, media_type="print")
    paper = weasyprint.CSS(string=PAPER)
    identifier = hashlib.sha256(html.encode("utf-8", errors="replace")).hexdigest().encode()
    written = page.write_pdf(stylesheets=[paper], pdf_identifier=identifier, pdf_tags=True)
    return bytes(written)


def _weasyprint() -> Any:
    """The library. The warnings it prints when something is missing are suppressed."""
    # without the system's own library the fonts are cut by one that writes the time of day into them
    os.environ.setdefault("SOURCE_DATE_EPOCH", "0")
    try:
        with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO()):
            import weasyprint
    except ImportError:
        raise NoPdf(
            "no PDF: WeasyPrint is not installed; get it with `pip install 'carknocker[pdf]'`, or write "
            "`--format html` and print that from a browser"
        ) from None
    except OSError as error:
        missing = str(error).splitlines()[0] if str(error) else "a library is missing"
        raise NoPdf(
            f"no PDF: WeasyPrint lacks a library of the system ({missing}); on Debian: "
            "`apt-get install libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0`, or write `--format html` and "
            "print that from a browser"
        ) from None
    return weasyprint
