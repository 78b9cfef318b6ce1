"""How warm concrete and the ground under it are hour by hour, how strong the concrete is by then, and what follows.

Needs numpy and scipy; nothing of the takeoff imports it. Temperatures in degrees C, times in hours, SI throughout.
"""
