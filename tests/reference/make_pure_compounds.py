"""Makes pure-compounds.tsv: figures of pure compounds from open reference packages.

    python3 -m venv VENV && VENV/bin/pip install chemicals==1.5.2 thermo==0.6.1 molmass==2026.1.8 \
        coolprop==8.0.0 iapws==1.5.5
    VENV/bin/python make_pure_compounds.py > pure-compounds.tsv

Names and CAS numbers come from the catalogue, of blocks that state a molar mass, and of the few below that do not.
Molar masses are worked out by `molmass` from the formula that `chemicals` has for the CAS number. Melting points are
measured values (CRC Handbook, CAS Common Chemistry, NIST WebBook); the group estimates that the package falls back to
(JOBACK) are never used, nor are open notebooks. Densities are those of correlations fitted to measured data, one
row for each that there is (VDI, DIPPR and HEOS of `thermo`; the equations of state of `coolprop`; IAPWS-97 of
`iapws`), so that a figure is held against more than the one it was read from; corresponding-states estimates are left
out. Mixtures are left out: a CAS number of one gives a single
compound of it.
"""

import glob
import os
import re

import CoolProp.CoolProp as coolprop
from chemicals import Tm, Tm_methods, search_chemical
from iapws import IAPWS97
from molmass import Formula
from thermo import Chemical

HERE = os.path.dirname(os.path.abspath(__file__))
CATALOGUE = os.path.join(HERE, "../../crates/formula/catalogue/*.formula")

# Pure compounds of which the catalogue has no molar mass.
ALSO = {
    "hexylene glycol", "ethoxydiglycol", "dicaprylyl ether", "decyl oleate", "diisopropyl adipate",
    "dimethyl isosorbide", "glycol stearate", "cetyl palmitate", "myristyl myristate", "acetic acid", "propionic acid",
    "formic acid", "methyl salicylate", "benzaldehyde", "salicylaldehyde", "furfural",
}
# Sold as mixtures under the number of one compound (glycol distearate: of stearic and palmitic acid).
MIXTURES = {"glycol distearate", "copper chlorophyllin", "sorbitan stearate", "glyceryl caprylate", "dipotassium glycyrrhizate"}

MEASURED = ["CRC_INORG", "CRC_ORG", "COMMON_CHEMISTRY", "WEBBOOK"]
CORRELATIONS = ["VDI_PPDS", "DIPPR_PERRY_8E", "HEOS_FIT"]
EQUATIONS = {coolprop.get_fluid_param_string(fluid, "CAS"): fluid for fluid in coolprop.FluidsList()}
ATMOSPHERE = 101325.0


def blocks():
    for path in sorted(glob.glob(CATALOGUE)):
        for block in re.split(r"\n\s*\n", open(path, encoding="utf-8").read()):
            name = re.search(r"^ingredient (.*)$", block, re.M)
            cas = re.search(r"^CAS (\S+)$", block, re.M)
            if name and cas and name[1] not in MIXTURES:
                yield name[1], cas[1], lambda word, block=block: re.search(rf"^{word} (.*)$", block, re.M)


def row(name, cas, what, value, package):
    print(name, cas, what, value, package, sep="\t")


def densities(cas, kelvin, mass):
    liquid = Chemical(cas).VolumeLiquid
    for method in CORRELATIONS:
        if method in liquid.all_methods:
            yield mass / liquid.calculate(kelvin, method) / 1e6, f"thermo 0.6.1 ({method})"
    if cas in EQUATIONS:
        state = coolprop.PropsSI("D", "T", kelvin, "P", ATMOSPHERE, EQUATIONS[cas])
        yield state / 1000, f"coolprop 8.0.0 ({EQUATIONS[cas]})"
    if cas == "7732-18-5":
        yield IAPWS97(T=kelvin, P=ATMOSPHERE / 1e6).rho / 1000, "iapws 1.5.5 (IAPWS97)"


print("name", "CAS", "what", "value", "package and version", sep="\t")
for name, cas, line in blocks():
    if not line("molar mass") and name not in ALSO:
        continue
    try:
        formula = search_chemical(cas).formula
    except ValueError:
        continue
    if line("molar mass"):
        row(name, cas, "molar mass g/mol", f"{Formula(formula).mass:.3f}", "molmass 2026.1.8")
    if line("melts"):
        method = next((own for own in MEASURED if own in Tm_methods(cas)), None)
        if method:
            row(name, cas, "melting point °C", f"{Tm(cas, method=method) - 273.15:.1f}", f"chemicals 1.5.2 ({method})")
    if line("density"):
        celsius = 25 if "at 25 °C" in line("density")[0] else 20
        for density, package in densities(cas, celsius + 273.15, Formula(formula).mass):
            row(name, cas, f"density g/mL at {celsius} °C", f"{density:.4f}", package)
