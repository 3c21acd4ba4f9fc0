"""The PDF of pages: their model as plain data, set by typst in one typeface."""
