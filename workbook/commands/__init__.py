"""The commands by family, each a thin face over a library call; heavy imports stand inside the command that needs them."""
