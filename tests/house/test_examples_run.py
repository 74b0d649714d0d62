"""Every example in a docstring runs and prints what it says."""

import doctest
import importlib
import pkgutil

import pytest

import tipward

MODULES = [
    name
    for _, name, _ in pkgutil.walk_packages(tipward.__path__, "tipward.")
    if "migrations" not in name and not name.endswith("__main__")
]


@pytest.mark.parametrize("name", MODULES)
def test_examples(name):
    failed, _ = doctest.testmod(importlib.import_module(name), optionflags=doctest.ELLIPSIS)
    assert failed == 0
