"""The job file: its types, reading it strictly, writing it back with its comments."""
