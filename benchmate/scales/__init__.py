"""Scales on a cable: what a line or a report means, when a weight is steady, who reads the port.

`reading`, `lines`, `hid`, `steady` and `proposing` only work things out; `serial_reader` has the
port and a thread, `published` the small file through which others read along.
"""
