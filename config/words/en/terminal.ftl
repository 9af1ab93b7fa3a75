# The terminal.

