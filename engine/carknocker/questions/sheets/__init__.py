"""Papers for other hands: the wheel shop's order, the set-out sheet, the bad-order tag."""
