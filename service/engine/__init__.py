"""Where calculations run: guarded child processes and the slots that feed them."""
