"""Clauses of the NDS 2018 (National Design Specification for Wood Construction), allowable stress design.

The clauses are in pounds and inches, and so are their empirical functions here, as a reader finds them in print;
``members`` and ``joints`` of the model convert. The text was not opened: formulae come second hand and from memory
where a docstring says so; worked examples of handbooks hold them.
"""
