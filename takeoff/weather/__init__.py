"""Weather hour by hour, what the cold-weather guides ask of it, and whether to place concrete."""
