"""Pairs of our own invention whose teeth are loaded."""

from tests.gear.gears import closed_pair, internal_pair


def spur():
    return closed_pair(module=4, helix=0, teeth=(20, 40), shifts=(0.2, 0.1))


def helical():
    return closed_pair(module=4, helix=25, teeth=(17, 90), shifts=(0.5, -0.1))


def internal(helix=0):
    return internal_pair(module=4, helix=helix, teeth=(20, 70), shifts=(0.3, -0.3), cut=0.2)
