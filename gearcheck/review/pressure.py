"""Load and contact pressure along the path of one mesh, at the nominal load or at a step of the duty."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gearcheck.basics.numbers import Array, Number, array
from gearcheck.contact.loaded_pressure import loaded_path_pressure
from gearcheck.contact.sharing import PathPressure, path_pressure
from gearcheck.gear.path import ContactPath, contact_path
from gearcheck.review.contact_table import PLACES
from gearcheck.review.results import MeshChain
from gearcheck.stress.factors import LoadFactors

POINTS = 41


@dataclass(frozen=True, kw_only=True)
class PathLoad:
    """What presses and moves the flanks of one mesh.

    Parameters
    ----------
    tangential_force_N, load_factor : float or array
        F_t, and K = K_A K_γ K_V K_Hβ K_Hα.
    contact_factor : float or array
        K_A K_γ K_V alone, for the loaded contact.
    speed_rpm, pitch_line_velocity_m_s : float or array
        Speed of the pinion and v.
    tolerance_class : float or array
        The coarser of both gears.
    """

    tangential_force_N: Number
    load_factor: Number
    contact_factor: Number
    speed_rpm: Number
    pitch_line_velocity_m_s: Number
    tolerance_class: Number

    @property
    def force_N(self) -> Array:  # noqa: N802 - carries its unit
        """F_t K."""
        return array(array(self.tangential_force_N) * array(self.load_factor))

    def at(self, step: NDArray[np.intp]) -> PathLoad:
        """Return the load at one step of those on the first axis, for each sample its own.

        Parameters
        ----------
        step : ndarray of int
            Shape of the samples.

        Returns
        -------
        PathLoad
            Without the axis of the steps.
        """
        samples = step.ndim

        def picked(value: Number) -> Array:
            known = array(value)
            if known.ndim <= samples:  # the same at every step
                return known
            spread = np.broadcast_to(known, (known.shape[0], *step.shape))
            return array(np.take_along_axis(spread, step[None], axis=0)[0])

        return PathLoad(
            tangential_force_N=picked(self.tangential_force_N),
            load_factor=picked(self.load_factor),
            contact_factor=picked(self.contact_factor),
            speed_rpm=picked(self.speed_rpm),
            pitch_line_velocity_m_s=picked(self.pitch_line_velocity_m_s),
            tolerance_class=picked(self.tolerance_class),
        )


def load_of(factors: LoadFactors) -> PathLoad:
    """The load along the path with all its load factors."""
    whole = (
        array(factors.application_factor) * array(factors.mesh_load_factor) * array(factors.dynamic_factor)
    )
    spread = array(factors.face_load_factor), array(factors.transverse_factor_contact)
    return PathLoad(
        tangential_force_N=factors.tangential_force_N,
        load_factor=whole * spread[0] * spread[1],
        contact_factor=whole,
        speed_rpm=factors.speed_rpm,
        pitch_line_velocity_m_s=factors.pitch_line_velocity_m_s,
        tolerance_class=factors.tolerance_class,
    )


def heaviest(mesh: MeshChain) -> PathLoad:
    """The load that presses the flanks hardest: the nominal one, or under a duty that of one of its steps."""
    assert mesh.factors is not None
    if mesh.duty_factors is None or mesh.heaviest_step is None:
        return load_of(mesh.factors)
    return load_of(mesh.duty_factors).at(mesh.heaviest_step)


def pressure_of(mesh: MeshChain, load: PathLoad, path: ContactPath) -> PathPressure:
    """The contact pressure along a path of contact at one load."""
    return path_pressure(
        path=path,
        pair=mesh.pair,
        tangential_force_N=load.tangential_force_N,
        load_factor=load.load_factor,
        tolerance_class=load.tolerance_class,
    )


def pressure_along(mesh: MeshChain) -> PathPressure:
    """The contact pressure along the path of contact of one mesh at its heaviest load.

    By the load sharing of the standard, or by the loaded contact where that governs.
    """
    load, path = heaviest(mesh), contact_path(pair=mesh.pair, points=POINTS)
    if mesh.pressed is None:
        return pressure_of(mesh, load, path)
    table = mesh.pressed.table
    width = array(mesh.pair.common_face_width_mm)
    force = array(array(load.tangential_force_N) * array(load.contact_factor))
    return loaded_path_pressure(
        path=path,
        pair=mesh.pair,
        position_mm=array(path.path_length_mm)[..., None] * PLACES,
        pressure_MPa=table.pressure_MPa(array(force / width)),
        tangential_force_N=load.tangential_force_N,
        load_factor=load.contact_factor,
        tolerance_class=load.tolerance_class,
        notices=table.notices,
    )
