"""What is to be done during the move, leg by leg and day by day."""
