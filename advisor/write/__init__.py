"""An advice as sentences and drawings: values in, lines out, with no knowledge of a conversation or a terminal."""
