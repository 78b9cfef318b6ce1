"""Hand-outs of one stage: crew sheet, order sheet, inspection request. Data for the templates, nothing else.

:mod:`subject` says what a sheet is about, :mod:`crew`, :mod:`orders` and :mod:`request` what stands on each part,
:mod:`document` puts them on paper.
"""
