"""The log of a pour: what was agreed of the mix, its trucks, temperatures, how true the wall stands, cylinders.

A pour is the legs of a stage that are filled together: those one agreement on the mix names, else a section. What
concrete does in the wall is worked out by the engine from the plan; nothing here is estimated by area.
"""
