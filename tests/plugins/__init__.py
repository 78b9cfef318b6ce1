"""What pytest needs before Django is there."""
