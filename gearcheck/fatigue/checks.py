"""What a set of tests holds, level by level, and what is to be said of it before anything is fitted."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import ClassVar

import numpy as np
from numpy.typing import NDArray

from gearcheck.basics.digits import number_text
from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Array, Number
from gearcheck.basics.results import Result, term
from gearcheck.fatigue.footing import level_of
from gearcheck.fatigue.inputs import FatigueData

_SAME_LIFE = 0.01
_SAME_RATIO = 0.02
_FEW_SPECIMENS = 12
_FEW_LEVELS = 4
_FEW_GEARS = 10

METHOD = Method(
    key="fatigue.level_table",
    title="Tests by level",
    source="rules of the test bench",
    edition="",
    clause="what is counted, and what is told, before a curve is fitted",
    status=Status.COMMON_PRACTICE,
    implements=(
        "stresses within 0.5 % of the lowest of them are one level",
        "a run-out that was tested again stands apart and is not fitted",
        "a failure by another mode counts as sound until then",
    ),
    leaves_out=("whether a specimen was damaged before its test",),
    departures=(
        "Twelve specimens and four levels, below which it is told, are those that ASTM E739 asks for design "
        "data and the usual count of levels, from memory.",
    ),
)


@dataclass(frozen=True, kw_only=True)
class LevelTable(Result):
    """The tests by level, lowest stress first; `data` is what counts, `counted` marks it among all."""

    method: ClassVar[Method] = METHOD
    data: FatigueData
    counted: NDArray[np.bool_]
    run_out_cycles: Number = term("Run-out life", "N_max")
    stress_MPa: Number = term(
        "Stress of each level", "σ_i", "MPa", words="mean of those within 0.5 % of the lowest of them"
    )
    specimens: Number = term("Specimens of each level", "n_i", words="tests that count")
    failures: Number = term(
        "Failures of each level", "r_i", words="those that failed by the mode that counts"
    )
    run_outs: Number = term("Sound when taken out", "q_i", "", "n_i - r_i")
    first_failure_cycles: Number = term("First failure", "N_first", words="NaN where none failed")
    last_cycles: Number = term("Longest test", "N_last", words="failed or not")

    @property
    def mixed(self) -> int:
        """How many levels have both failures and specimens that stayed sound."""
        return int(np.sum((np.asarray(self.failures) > 0) & (np.asarray(self.run_outs) > 0)))


def level_table(
    *,
    data: FatigueData,
    run_out_cycles: Number,
    teeth: tuple[str, ...] = (),
    also_loaded: tuple[str, ...] = (),
    stress_ratio: Array | None = None,
    modes: tuple[str, ...] = (),
    mode: str = "",
    retest_of: tuple[str, ...] = (),
) -> LevelTable:
    """Return the tests by level, with what counts and what is to be said of them.

    n_i tests at each stress, r_i failures, q_i = n_i - r_i taken out sound

    Parameters
    ----------
    data : FatigueData
        All tests; names of the specimens and gears where they are known.
    run_out_cycles : float
        Cycles after which a sound specimen was to be taken out.
    teeth : tuple of str
        The tooth of each test; empty where the file does not say.
    also_loaded : tuple of str
        The tooth at the other end of a span, which a pulsator loads alike; empty where there is none.
    stress_ratio : ndarray or None
        Least over largest load of each test; NaN where it is not known.
    modes : tuple of str
        How each specimen failed; empty texts where it is not said.
    mode : str
        The mode that counts; needed where there are several.
    retest_of : tuple of str
        The specimen that was tested again, for each test; empty texts elsewhere.

    Returns
    -------
    LevelTable
        A stop where several modes or stress ratios are mixed; cautions for all that weakens what follows.

    Raises
    ------
    InputError
        No specimen, a stress or a life that is not above 0, names that are not one a specimen.

    Notes
    -----
    Source: common practice of the test bench; counts of specimens of ASTM E739-10, from memory.
    Valid for: tests at constant amplitude, one test a row.
    Departures: see the method.
    Checked: LEVELS-01, LEVELS-02.

    Examples
    --------
    >>> data = FatigueData(
    ...     stress_MPa=np.array([900.0, 900.0, 800.0]), cycles=np.array([1e5, 6e6, 6e6]),
    ...     failed=np.array([True, False, False]))
    >>> found = level_table(data=data, run_out_cycles=6e6)
    >>> found.failures.tolist(), found.run_outs.tolist(), found.mixed
    ([0.0, 1.0], [1.0, 1.0], 1)
    """
    _check(
        data,
        run_out_cycles,
        {"teeth": teeth, "also_loaded": also_loaded, "modes": modes, "retest_of": retest_of},
    )
    again = np.array([bool(name) for name in retest_of] or [False] * data.count)
    kept, told, of_modes = _by_mode(data.some(~again), _some_of(modes, ~again), mode)
    counted = ~again
    counted[counted] = told
    place = level_of(kept.stress_MPa)
    levels = range(int(place.max()) + 1)
    failures = np.array([kept.failed[place == at].sum() for at in levels], dtype=float)
    specimens = np.array([(place == at).sum() for at in levels], dtype=float)
    return LevelTable(
        data=kept,
        counted=counted,
        run_out_cycles=run_out_cycles,
        stress_MPa=np.array([kept.stress_MPa[place == at].mean() for at in levels]),
        specimens=specimens,
        failures=failures,
        run_outs=specimens - failures,
        first_failure_cycles=np.array([_first(kept, place == at) for at in levels]),
        last_cycles=np.array([kept.cycles[place == at].max() for at in levels]),
        notices=(
            *of_modes,
            *_of_ratio(None if stress_ratio is None else np.asarray(stress_ratio)[~again]),
            *_of_again(data, again),
            *_of_teeth(data, tuple(zip(teeth, also_loaded or teeth, strict=True)), again),
            *_of_lives(data.some(~again), kept, float(np.asarray(run_out_cycles))),
            *_of_number(kept, len(levels)),
        ),
    )


def _check(data: FatigueData, run_out: Number, names: dict[str, tuple[str, ...]]) -> None:
    faults = Faults()
    faults.need(data.count > 0, "data", "no specimen", "one specimen or more")
    faults.need(not np.any(~(data.stress_MPa > 0)), "stress_MPa", data.stress_MPa, "stresses above 0 MPa")
    faults.need(not np.any(~(data.cycles > 0)), "cycles", data.cycles, "cycles above 0")
    faults.need(bool(np.all(np.asarray(run_out) > 0)), "run_out_cycles", run_out, "cycles above 0")
    for name, given in names.items():
        faults.need(len(given) in (0, data.count), name, f"{len(given)}", "one for each specimen, or none")
    faults.check()


def _first(data: FatigueData, rows: NDArray[np.bool_]) -> float:
    lives = data.cycles[rows & data.failed]
    return float(lives.min()) if lives.size else np.nan


def _some_of(words: tuple[str, ...], rows: NDArray[np.bool_]) -> tuple[str, ...]:
    return tuple(word for word, keep in zip(words, rows, strict=True) if keep) if words else ()


def _by_mode(
    data: FatigueData, modes: tuple[str, ...], mode: str
) -> tuple[FatigueData, NDArray[np.bool_], tuple[Notice, ...]]:
    """The tests with what counts as failed, which of them tell something, and what is said of the modes."""
    every = np.full(data.count, True)
    said = Counter(name for name, failed in zip(modes, data.failed, strict=False) if failed and name)
    if mode and mode not in said and data.failed.any():
        given = ", ".join(said) or "none"
        text = f"No specimen failed by {mode}, the mode that counts; modes in the file: {given}."
        return data, every, (Notice(Level.STOP, "fatigue.mode_unknown", text),)
    if len(said) > 1 and not mode:
        given = " and ".join(f"{name} ({count})" for name, count in said.items())
        text = f"Specimens failed by different modes: {given}; one curve holds for one: say which counts."
        return data, every, (Notice(Level.STOP, "fatigue.modes_mixed", text),)
    if not mode:
        return data, every, ()
    others = data.failed & np.array([name not in (mode, "") for name in modes] or ~every, dtype=bool)
    if not others.any():
        return data, every, ()
    kept, told = _sound_until(data, others)
    text = f"{_specimens(int(others.sum()))} failed by another mode than {mode}: sound as far as it was seen."
    return kept, told, (Notice(Level.CAUTION, "fatigue.other_mode", text),)


def _sound_until(data: FatigueData, others: NDArray[np.bool_]) -> tuple[FatigueData, NDArray[np.bool_]]:
    """The tests where these count as sound: until they failed, or until they were last seen sound."""
    failed, seen = data.failed & ~others, data.sound_cycles
    if seen is None:
        return replace(data, failed=failed), np.full(data.count, True)
    between = others & np.isfinite(seen)
    told = ~(between & (seen <= 0))  # what nobody saw sound tells nothing
    kept = replace(
        data,
        failed=failed,
        cycles=np.where(between, seen, data.cycles),
        sound_cycles=np.where(others, np.nan, seen),
    )
    return kept.some(told), told


def _of_ratio(ratio: Array | None) -> Iterator[Notice]:
    known = np.array([]) if ratio is None else ratio[np.isfinite(ratio)]
    if ratio is None or not known.size:
        text = "The file does not say at which stress ratio R was tested."
        yield Notice(Level.CAUTION, "fatigue.no_ratio", text)
        return
    if np.ptp(known) > _SAME_RATIO:
        text = (
            f"Stress ratios from {number_text(known.min(), 3)} to {number_text(known.max(), 3)} are "
            "mixed: one curve holds for one "
            "of them. Leave the others out with a reason, or test apart."
        )
        yield Notice(Level.STOP, "fatigue.ratios_mixed", text)
    elif known.size < ratio.size:
        text = f"The stress ratio of {_specimens(ratio.size - known.size)} is not said."
        yield Notice(Level.CAUTION, "fatigue.ratio_missing", text)


def _of_again(data: FatigueData, again: NDArray[np.bool_]) -> Iterator[Notice]:
    if again.any():
        named = _some([name for name, one in zip(data.specimens, again, strict=False) if one])
        text = (
            f"{_specimens(int(again.sum()))}{named} had run out before and was tested again: such a test "
            "stands apart and is not fitted, as the first one may have trained or harmed the tooth."
        )
        yield Notice(Level.NOTE, "fatigue.tested_again", text)


def _of_teeth(
    data: FatigueData, teeth: tuple[tuple[str, str], ...], again: NDArray[np.bool_]
) -> Iterator[Notice]:
    if not data.gears or not any(data.gears):
        text = (
            "The file does not say which specimens share a gear: each counts as if it stood alone. "
            "Where they do share one, a bound is too sure."
        )
        yield Notice(Level.CAUTION, "fatigue.no_gears", text)
        return
    gears = len(set(data.gears))
    if gears < _FEW_GEARS:
        text = (
            f"All teeth come from {gears} gear{'s'[: gears > 1]}: how gears differ is seen from so few alone."
        )
        yield Notice(Level.CAUTION, "fatigue.few_gears", text)
    of = Counter(
        (gear, tooth)
        for gear, loaded, more in zip(data.gears, teeth, again, strict=False)
        for tooth in dict.fromkeys(loaded)
        if tooth and not more
    )
    for (gear, tooth), count in of.items():
        if count > 1:
            text = (
                f"Tooth {tooth} of gear {gear} was loaded in {count} tests and none is called a test again: "
                "what came before may have trained or harmed it. Say which it repeats, or leave one out."
            )
            yield Notice(Level.CAUTION, "fatigue.tooth_repeated", text)


def _of_lives(data: FatigueData, kept: FatigueData, run_out: float) -> Iterator[Notice]:
    """What is said of the run-out life: of tests as they were run, and of those that count."""
    sound = data.cycles[~data.failed]
    early, late = (sound < run_out * (1 - _SAME_LIFE)), (sound > run_out * (1 + _SAME_LIFE))
    if early.any():
        text = (
            f"{_specimens(int(early.sum()))} taken out sound before the run-out life of "
            f"{number_text(run_out, 3)} "
            f"cycles, the first at {number_text(sound.min(), 3)}: each counts as sound up to its own."
        )
        yield Notice(Level.CAUTION, "fatigue.out_early", text)
    if late.any():
        text = (
            f"Run-out lives differ: {_specimens(int(late.sum()))} ran beyond {number_text(run_out, 3)} "
            "cycles, the "
            f"longest to {number_text(sound.max(), 3)}; each counts as sound up to its own."
        )
        yield Notice(Level.NOTE, "fatigue.run_outs_differ", text)
    beyond = kept.failed & (kept.cycles > run_out * (1 + _SAME_LIFE))
    if beyond.any():
        text = (
            f"{_specimens(int(beyond.sum()))} failed beyond the run-out life of {number_text(run_out, 3)} "
            "cycles, the "
            f"last at {number_text(kept.cycles[beyond].max(), 3)}: the curve cannot bend where tests went "
            "on to fail. "
            "Give as run_out how far they went; what was taken out before counts as sound up to its own."
        )
        yield Notice(Level.STOP, "fatigue.failed_beyond", text)
    if not (sound >= run_out * (1 - _SAME_LIFE)).any():
        text = (
            f"No specimen stayed sound to {number_text(run_out, 3)} cycles, and the longest test ended at "
            f"{number_text(data.cycles.max(), 3)}: that the curve bends there is an assumption."
        )
        yield Notice(Level.CAUTION, "fatigue.bend_assumed", text)


def _of_number(data: FatigueData, levels: int) -> Iterator[Notice]:
    if data.count < _FEW_SPECIMENS:
        text = f"{_specimens(data.count)}: fewer than {_FEW_SPECIMENS} are a first look, no base of a design."
        yield Notice(Level.CAUTION, "fatigue.few_specimens", text)
    if 1 < levels < _FEW_LEVELS:
        text = f"{levels} levels: the form of the curve between and beyond them is a choice, not a finding."
        yield Notice(Level.CAUTION, "fatigue.few_levels", text)


def _specimens(count: int) -> str:
    return f"{count} specimen{'s'[: count != 1]}"


def _some(names: list[str]) -> str:
    return f" ({', '.join(names[:5])}{' ...' if len(names) > 5 else ''})" if names else ""
