"""Drawings as data, then SVG: the identical string serves the screen and the paper.

A drawing function takes a plan or its results and returns a :class:`takeoff.drawings.scene.Scene` in inches;
:func:`takeoff.drawings.svg.render` writes it. Presentation attributes only (no classes, no style), because the PDF
engine reads nothing else.

One drawing each: ``plan_view``, ``walk_preview``, ``elevation``, ``section`` (with ``section_words``), ``form_unit``,
``tracker`` (with ``tracker_states``, ``tracker_cut``, ``tracker_parts``). What they share: ``cut`` (the wall cut
across), ``bars``. From scene to string: ``compose`` lays out at a scale, with ``dimension``, ``signs``, ``strip`` and
``lettering``; ``marks`` is what lies on the paper; ``style`` says how ink looks; ``svg`` writes.

Belongs here: how things look and are named on a drawing. Does not: any sum or count, which come from the engine.
"""
