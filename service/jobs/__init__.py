"""What the service keeps: jobs, their parts, their states and moves."""
