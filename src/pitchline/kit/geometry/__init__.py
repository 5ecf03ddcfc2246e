"""Plane and solid geometry: lines in an elevation, frames, outlines, boxes cut by planes, bevels and balls."""
