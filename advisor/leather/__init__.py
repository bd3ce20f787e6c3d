"""Pure values and arithmetic of the leather trade.

Every function takes plain numbers in the units its docstring states, and returns a number, a set or a small
record. Nothing here reads a file, keeps state, knows a rule or words advice. Which numbers go in is decided
by the rule base; ``formulas`` lists the functions that a rule base may name.
"""
