"""Draws the photographs of the sample inspection: numpy and Pillow only, seeded, nothing photographed."""
