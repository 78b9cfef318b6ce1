"""Whole journeys in a real browser, on a phone and at a desk."""
