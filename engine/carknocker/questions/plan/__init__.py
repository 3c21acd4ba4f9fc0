"""The smallest set of work that makes the car ready, in an order that can be worked."""
