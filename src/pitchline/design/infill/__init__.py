"""Kinds of infill; each fills a bay and knows nothing of the others."""
