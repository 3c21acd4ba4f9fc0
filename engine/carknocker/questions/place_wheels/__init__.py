"""Which wheelset at which axle."""
