"""Advice that was tried: a remedy is told once the changed plan was forecast and judged."""
