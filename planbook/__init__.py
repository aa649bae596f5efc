"""planbook: a static site generator for build plans and instructional handouts.

The package reads like the pipeline: `units`, `source`, `trade`, `plan`, `shape`, `checks`,
`drawing`, `publish`, `cli`. A floor imports only floors that stand before it in this list.
"""

__version__ = "0.1.0"
