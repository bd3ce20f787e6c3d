"""The outside world: arguments, terminal, files and exit codes."""
