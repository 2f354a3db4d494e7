"""A copy of a season without identities, for an adviser: what is not known to be harmless does not go with it."""
