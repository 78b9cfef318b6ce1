"""Weather of a house: what somebody typed, uploaded or fetched, kept as it came and read by the engine."""
