"""What layouts and timetables share of their solver."""
