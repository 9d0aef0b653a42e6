"""Room between stick and wheel wherever no plunge is meant."""
