"""A second judge of patterns, which shares no code with the program."""
