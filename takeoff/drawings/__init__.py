"""Drawings as data, then SVG: the identical string serves the screen and the paper.

A drawing function takes results and returns a :class:`takeoff.drawings.scene.Scene`; :mod:`takeoff.drawings.svg`
writes it. Presentation attributes only (no classes, no style), because the PDF engine reads nothing else.
"""
