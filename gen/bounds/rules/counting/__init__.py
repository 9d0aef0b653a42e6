"""Blocks that count parts, and numbers that are right only once."""
