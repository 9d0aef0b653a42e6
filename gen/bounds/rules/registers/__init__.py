"""Registers: which values lead to motion, and when they are read and written."""
