"""Hold points, what was presented, who released or rejected it, what was done, and the gate that follows.

What belongs here: the declared process (``stages.py``), whether work may go on and why not (``gates.py``), who may
sign (``permissions.py``), the append-only records (``models.py``), and the pages that show a house together with its
gates. What does not: quantities and drawings (``takeoff``), houses and plans (``jobs``).

``inspections`` imports ``jobs`` and ``takeoff``; neither imports it.
"""
