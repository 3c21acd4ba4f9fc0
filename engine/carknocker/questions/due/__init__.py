"""What lapses and wears out when, and the first day that the car is no longer ready."""
