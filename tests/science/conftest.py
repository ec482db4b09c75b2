"""How the properties are tried: the same examples every time, and no clock.

`pytest --hypothesis-profile=search` tries many others.
"""

from hypothesis import settings

settings.register_profile("search", deadline=None, max_examples=3000)
settings.register_profile("same", deadline=None, derandomize=True, database=None)
settings.load_profile("same")
