"""Rules on records, one module for each subject. Importing this package fills the registry of rules."""

from importlib import import_module
from pkgutil import iter_modules

for _module in iter_modules(__path__):
    import_module(f"{__name__}.{_module.name}")
