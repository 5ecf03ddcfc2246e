"""Forces, moments and stresses in sentences and tables: SI for those who work in mm, pounds for those in inches."""

import math
from dataclasses import dataclass

from pitchline.kit.units import MM_PER_INCH, POUND_FORCE, Unit

FOOT_POUND = POUND_FORCE * 12.0 * MM_PER_INCH
"""One foot pound in Nmm."""

PSI = POUND_FORCE / MM_PER_INCH**2
"""One pound per square inch in MPa."""


@dataclass(frozen=True, slots=True)
class ForceWords:
    """How forces are written for the user."""

    unit: Unit = Unit.MM

    @property
    def _inches(self) -> bool:
        return self.unit is Unit.INCH

    def force(self, newtons: float) -> str:
        """A force: N, kN from 10 000 N on, or lbf."""
        if not math.isfinite(newtons):
            return "-"
        if self._inches:
            return f"{newtons / POUND_FORCE:.0f} lbf"
        return f"{newtons:.0f} N" if abs(newtons) < 1e4 else f"{newtons / 1e3:.1f} kN"

    def moment(self, nmm: float) -> str:
        """A moment: Nm or ft lbf."""
        if not math.isfinite(nmm):
            return "-"
        return f"{nmm / FOOT_POUND:.0f} ft lbf" if self._inches else f"{nmm / 1e3:.0f} Nm"

    def stress(self, mpa: float) -> str:
        """A stress: MPa or psi."""
        if self._inches:
            return f"{mpa / PSI:.0f} psi"
        return f"{mpa:.2f} MPa" if abs(mpa) < 100.0 else f"{mpa:.0f} MPa"

    def turning(self, nmm_per_rad: float) -> str:
        """A stiffness against turning: kNm/rad or ft kip/rad; "rigid" where it gives nowhere."""
        if math.isinf(nmm_per_rad):
            return "rigid"
        if self._inches:
            return f"{nmm_per_rad / FOOT_POUND / 1e3:.1f} ft kip/rad"
        return f"{nmm_per_rad / 1e6:.1f} kNm/rad"

    def of(self, value: float, unit: str) -> str:
        """A value of ``unit`` (N, Nmm, MPa; anything else as it is)."""
        match unit:
            case "N":
                return self.force(value)
            case "Nmm":
                return self.moment(value)
            case "MPa":
                return self.stress(value)
            case _:
                return f"{value:.2f} {unit}".strip()
