"""What to buy: packs that cover the hardware, and one purchase list for the whole plan."""
