"""The file a maker writes: read, checked, and expanded into the plan that a job is frozen to.

Pure but for `finding`. What a table of the file may hold stands in `schema`; `values` reads what
stands behind a key, and `tables` says all that is wrong at once.
"""
