"""Will it stand: stiffness and strength of a finished design, its joints and the bases of its posts.

The design is measured as it is, never as it was composed: posts on springs, rails and infill become a frame
(``frame_of``), the rules' pushes its loads (``loads``), clauses of the codes its limits (``ec5``, ``nds``). Units N,
mm, MPa. A design aid, no certificate: every assumption is named in the report.
"""
