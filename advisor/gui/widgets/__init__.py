"""Pieces that pages share. No page of the window imports another."""
