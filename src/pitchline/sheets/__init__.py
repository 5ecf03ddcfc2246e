"""Views, drawings, lists and the pack that a maker takes to the bench."""
