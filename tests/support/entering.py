"""Entries written into a sitting's rows, as the pages write them, for tests that start from a record."""

from tenter.web.store import store


def record_judgement(row, judgement, key):
    """Write a judgement down; the same key again returns the event that stands already."""
    return store.change_sitting(row, key, lambda live: live.record(judgement))


def void(row, number, reason, key):
    return store.change_sitting(row, key, lambda live: live.void(number, reason))


def undo(row, key):
    return store.change_sitting(row, key, lambda live: live.undo())


def set_aside(row, drape, key):
    return store.change_sitting(row, key, lambda live: live.set_aside(drape))
