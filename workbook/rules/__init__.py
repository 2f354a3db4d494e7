"""What can be wrong with records: how a rule is declared, the rules themselves, and problems answered."""
