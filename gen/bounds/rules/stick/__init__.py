"""The stick: its length, its clamp, its grit, and the width that it covers."""
