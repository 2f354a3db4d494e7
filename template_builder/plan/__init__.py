"""Before lambing: who is fed what and with whom, what falls due when, and which ewes to plan for."""
