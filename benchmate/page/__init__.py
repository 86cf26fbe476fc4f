"""A page for the phone or tablet in the local network: to be looked at, and one button, *OK*.

Off unless it is switched on. It knows neither journal nor jobs: a picture as plain data comes in,
and "these reminders are OK" goes out.
"""
