"""Many cars judged one after another or many at a time, each by itself: see `check_fleet`."""
