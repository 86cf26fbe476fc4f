"""The journal and the clocks kept in order beside an open bench."""
