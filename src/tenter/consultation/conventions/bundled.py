"""The methods that come with Tenter, by name. Nothing heavy is loaded for them: the help of a command names one."""

BUNDLED = ("four-by-three", "depth-first", "four-seasons")
DEFAULT_METHOD = BUNDLED[0]  # where none is named
