"""Settings for the property tests of this folder."""

from __future__ import annotations

from hypothesis import settings

# A busy machine must not fail a test that is about numbers.
settings.register_profile("mechanics", deadline=None)
settings.load_profile("mechanics")
