"""Plans out: machine-readable plan, cut-plan workbook, purchase list, papers."""
