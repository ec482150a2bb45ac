"""What can hurt people or the product: hazard data, triggers, and what answers them."""
