"""The pages of a pour in cold weather: when to place, how fast the forms may be filled, the order, how strong when."""
