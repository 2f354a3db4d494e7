"""How many random cases a test tries: all of them in the whole suite, its share in the fast subset."""

from hypothesis import settings

USUAL = 100  # what hypothesis tries where nothing else is said


def examples(whole: int) -> int:
    """Of so many in the whole suite, the share that the profile in force asks for; never none."""
    return max(1, whole * settings().max_examples // USUAL)
