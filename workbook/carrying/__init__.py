"""From one season to the next: who comes back with which history, who has left, and what is not carried and why."""
