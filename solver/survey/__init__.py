"""The survey checks itself before anything is cut."""
