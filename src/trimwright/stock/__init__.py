"""What to buy: cutting plan, quantities, cost."""
