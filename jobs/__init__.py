"""Houses, the firms that build them, the people who belong to them, plans, stages and hand-outs.

What belongs here: whose house, where, its plan and revisions, its stages and dates, its order sheets and
hand-outs, and the log of events every write leaves behind. What does not: whether something may go on and who
said so (``inspections``), and how anything is worked out (``takeoff``).

``jobs`` imports ``takeoff`` only. Pages that show houses together with their gates live in ``inspections``, the
side that may see both.
"""
