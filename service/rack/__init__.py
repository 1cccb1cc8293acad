"""The rack: leftovers of finished jobs, confirmed by their real lengths, never promised to two jobs."""
