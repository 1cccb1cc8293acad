"""Everything that leaves the service as a document: plan.json, workbook, purchase list, summary, papers."""
