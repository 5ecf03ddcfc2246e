"""HiGHS as cutting plans use it: silent, on one thread, and stopped at once by an interrupt from the keyboard.

The paper on the solver: Q. Huangfu and J. A. J. Hall, Parallelizing the dual revised simplex method, 2018.
"""

import highspy


class _Quiet(highspy.Highs):
    """A solver that is silent before it says who it is: standard output belongs to the caller."""

    def enableCallbacks(self) -> None:  # noqa: N802 - the name is the library's
        self.setOptionValue("output_flag", False)
        super().enableCallbacks()  # type: ignore[no-untyped-call]  # the library has no types


def quiet_solver() -> highspy.Highs:
    """A new solver; one thread, so that the same programme has the same answer."""
    solver = _Quiet()  # type: ignore[no-untyped-call]  # the library has no types
    solver.setOptionValue("threads", 1)
    return solver


def run_stoppable(solver: highspy.Highs) -> None:
    """Run in a thread of its own, which an interrupt from the keyboard ends; KeyboardInterrupt goes on from here."""
    solver.HandleUserInterrupt = True
    solver.startSolve()
    try:
        while not solver.wait(0.05)[0]:
            pass
    except KeyboardInterrupt:
        solver.cancelSolve()
        while not solver.wait(0.05)[0]:
            pass
        raise
