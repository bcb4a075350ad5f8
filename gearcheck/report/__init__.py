"""What people take away."""
