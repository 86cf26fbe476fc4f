"""The pure core: what happened in a job, and what follows from it.

Nothing here reads a clock, a file or a database: `now` is an argument, state is folded from
events, and what a person sees is worked out from state and now.
"""
