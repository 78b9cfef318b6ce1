"""The engineering engine: from a walked plan to quantities, placed blocks, bars and drawings.

Pure Python. Nothing here knows of Django, a database, a clock or a person. Input is one frozen
:class:`takeoff.plan.Plan`, output one frozen :class:`takeoff.results.Takeoff`; between them are pure
functions, each stating one rule of the trade or of a published document.

What belongs here: geometry, block layout, reinforcement, concrete, envelope, earth, bracing,
drawings, and the published tables those need (``tables/``). What does not: houses, people, dates,
orders placed, who released what.

Layers, lower never imports higher::

    units  sources  problems
    plan  site  forms
    geometry
    blocks  rebar  footing  concrete  bracing  envelope  earth  unbalanced
    results  compute  orders
    drawings  planfile  cli
"""
