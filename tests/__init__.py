"""A package of its own, because a library installed for the tests brings one of the same name."""
