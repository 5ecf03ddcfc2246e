"""The command line and the documents that other programs read."""
