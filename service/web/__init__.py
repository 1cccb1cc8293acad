"""Pages for the office: upload, questions, progress, result and drawings, rendered here and readable without script."""
