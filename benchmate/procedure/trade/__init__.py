"""What a proofreader who knows the trade looks for, one concern a module.

Each rule takes a `Proof` and yields faults. Rules look at the expanded plan, so that blocks,
parameters and materials are all in it.
"""
