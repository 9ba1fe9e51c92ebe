"""Tests mirror the product: a stage has its tests in a folder of its name."""
