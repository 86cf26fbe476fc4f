"""Lists from a plan: what to cut, to make first, to buy, and to have to hand.

Pure: they are made of a plan with its shapes and of what the shelf holds, and printed elsewhere.
"""
