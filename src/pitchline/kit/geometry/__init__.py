"""Plane and solid geometry: lines, frames, outlines, boxes cut by planes, bevels and balls."""
