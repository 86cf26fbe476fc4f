"""The one room that reads what people write: procedure files, building blocks, labels, settings,
a reckoner's inputs and the forms.

`types` are the quantities, counts, words and names that may stand behind a key, each with its unit,
range and an example; they load no validating library. `model` is the base of the tables (pydantic)
and the one collector of everything that is wrong with one; `problem` is what it says, with file and
line. Quick commands and the bench's first frame use `types` alone.
"""
