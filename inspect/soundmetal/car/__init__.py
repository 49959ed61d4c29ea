"""The car catalogue: bodies, zones, the checks to make there, and the steel plan's coordinates."""
