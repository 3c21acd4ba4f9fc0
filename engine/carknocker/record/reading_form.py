"""The form to fill in: its first line, and its columns where it is a spreadsheet."""

FORM = "carknocker-form/1"


COLUMNS = (
    "car", "station", "access", "part", "attribute", "measured", "tool", "limit", "who", "last",
    "value", "gauge", "on", "by",
)  # fmt: skip
"""Of the CSV form. `value`, `gauge`, `on`, `by` are to be filled in; an empty `on` or `by` is as in the row above."""
