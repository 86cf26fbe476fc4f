"""The file a maker writes: read, checked, and expanded into the plan that a job is frozen to.

Pure but for `finding`. pydantic is loaded by `document` only, so that nothing but reading a
procedure file pays for it.
"""
