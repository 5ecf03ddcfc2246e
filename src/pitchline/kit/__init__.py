"""Tools that know nothing of stairs: units, tolerances, faults, findings, geometry and drawing."""
