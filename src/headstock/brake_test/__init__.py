"""The brake test of a made-up train: what its gauges will show."""
