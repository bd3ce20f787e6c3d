"""Rule files as data: what may be written, how it is read, in which order it is worked through."""
