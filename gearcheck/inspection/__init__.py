"""The inspection plan: route, characteristics, what the evidence says of them, and what is not covered."""
