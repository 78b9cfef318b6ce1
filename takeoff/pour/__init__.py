"""Pour day: pressure on the forms, how fast and in which lifts, the mix, the order, the trucks as they come."""
