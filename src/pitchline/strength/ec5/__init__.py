"""Clauses of EN 1995-1-1:2004 with its amendments A1 and A2, each a pure function; what the 2025 text changes apart.

Units N, mm, MPa, kg/m3. The text of the standard was not opened: the formulae come second hand, through open
programs, lectures and handbooks, and from memory where a docstring says so; worked examples of handbooks hold them.
``edition_2025`` has the clauses known to differ there; the others are taken over unseen.
"""
