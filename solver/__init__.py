"""Pure calculation: a problem and limits in, a checked plan out.

Nothing in this package opens a file, reads a clock or writes a log.
"""
