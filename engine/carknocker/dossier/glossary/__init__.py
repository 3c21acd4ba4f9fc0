"""Words of the trade in plain words, as data; a page explains those that it uses."""
