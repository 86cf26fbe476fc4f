"""Drawings in true millimetres, as plain SVG: one and the same for the file, the page, the PDF."""
