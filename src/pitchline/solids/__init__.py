"""Part descriptions turned into solids, interference tests and a GLB scene."""
