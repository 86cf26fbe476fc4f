"""What goes into a void: metal, packing, fill, mixes, and how big it must be."""
