"""Spreadsheets in: openings and stock read, checked, questions asked; template and checked workbook out."""
