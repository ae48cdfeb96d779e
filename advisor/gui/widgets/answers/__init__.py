"""Widgets that take the answer to a question, made from the declaration of its fact."""
