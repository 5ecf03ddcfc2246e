"""Facts with a source and a status beside each number; the data files can be corrected by a joiner."""
