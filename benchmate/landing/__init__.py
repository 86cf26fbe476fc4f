"""Landing on the weight: what a weighing says, where a piece is heading, what would land it.

Pure: its own small values in, values and sentences out; no job state, no files, no clock. The
modules, in the order in which a weighing meets them: `question` (is the reading a slip?),
`verdict` and `likely` (is it on plan?), `course` (a piece and its stages), `pour` (what a layer
adds), `follow` (what the records taught, kept in `gauss`), `ahead` and `overfull` (the stages to
come), `heading` and `outlook` (where it will end), `reach`, `adjustment` and `matching` (what
would land it), `otherwise` (what else would), `saying` and `words` (in sentences), `reserve` (what
to plan without), `checkweight` (can the scale still be trusted?).
"""
