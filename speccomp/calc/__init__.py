"""
The process arithmetic: pure functions on quantities.

Each function's docstring gives its formula, arguments, unit of the result, source, range of
validity and errors. Nothing here rounds, unless its name says so, or fills in a physical value
that was not given.
"""
