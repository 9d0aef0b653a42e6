"""The way of every axis to its place and back, outside contact."""
