"""What became of every scanned place and every lamb: movements, the litter account, losses, figures."""
