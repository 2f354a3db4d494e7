"""Workbooks as they are stored: the guard, the one-pass reader, the strict writer, and files put in place whole or not at all."""
