import numpy as np
import pytest

from gearcheck.basics.errors import InputError
from gearcheck.basics.methods import Level
from gearcheck.duty.cycles import load_cycles
from tests.checks import cases, holds


@pytest.mark.parametrize("check", cases("duty", "gearcheck.duty.cycles:load_cycles"), ids=str)
def test_cycles(check):
    holds(check, N_L=load_cycles(**check.inputs).load_cycles)


def test_all_bad_arguments_show_at_once():
    with pytest.raises(InputError) as raised:
        load_cycles(speed_rpm=0, life_h=-1, contacts_per_revolution=1)
    assert [fault.field for fault in raised.value.faults] == ["speed_rpm", "life_h"]


def test_less_than_one_contact_is_a_caution():
    cycles = load_cycles(speed_rpm=100, life_h=1, contacts_per_revolution=0.5)
    assert [notice.level for notice in cycles.notices] == [Level.CAUTION]
    assert load_cycles(speed_rpm=100, life_h=1, contacts_per_revolution=1).notices == ()


def test_a_stop_from_before_travels_through():
    assert load_cycles(speed_rpm=None, life_h=1, contacts_per_revolution=1).load_cycles is None


def test_arrays_broadcast():
    cycles = load_cycles(speed_rpm=np.array([[100.0], [200.0]]), life_h=[1, 2, 3], contacts_per_revolution=2)
    assert cycles.load_cycles.tolist() == [[12000, 24000, 36000], [24000, 48000, 72000]]
