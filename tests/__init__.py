"""Tests by room: takeoff, jobs, inspections, foundation; browser holds whole journeys."""
