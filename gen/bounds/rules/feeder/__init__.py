"""What a timed feeder does when the program is interrupted."""
