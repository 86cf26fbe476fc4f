"""Readings of the air from a file that another program or the kernel writes.

`heard` turns a file's text into a temperature, `following` decides what a reading is worth (kept,
questioned, silent), `file` is the only part that touches a disk. Reading is gentle: a look at the
file's size and age, then at most 64 KiB, never more than once in `EVERY_S`.
"""
