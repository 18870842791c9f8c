"""What is installed, with licences, as a CycloneDX bill of materials (ECMA-424, JSON) on standard output.

    python -m tests.benchmarks.bill_of_materials > sbom.json

Every package of this environment that requirements.txt pins, as its own metadata has it; read offline.
Limits: licences are what the packages say of themselves. Libraries inside a package (the linear algebra in numpy, the
browser code in streamlit) are listed in that package's own notices, not here.
"""

import sys
from collections.abc import Iterator
from importlib.metadata import Distribution, distributions

from cyclonedx.contrib.license.factories import LicenseFactory
from cyclonedx.model.bom import Bom
from cyclonedx.model.component import Component, ComponentType
from cyclonedx.output.json import JsonV1Dot6
from packageurl import PackageURL
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

import thermo
from tests.requirements_files import asked_for

READ = {"peewee": "MIT"}  # packages whose metadata name no licence: as their own LICENSE file reads


def installed() -> dict[str, Distribution]:
    """Every distribution of this environment by its canonical name."""
    return {canonicalize_name(found.metadata["Name"]): found for found in distributions()}


def needed(names: list[str]) -> dict[str, Distribution]:
    """These packages and all that they need on this machine, transitively."""
    known, found, left = installed(), {}, list(names)
    while left:
        name = canonicalize_name(left.pop())
        if name in found or name not in known:
            continue
        found[name] = known[name]
        wanted = [Requirement(line) for line in known[name].requires or []]
        left += [need.name for need in wanted if need.marker is None or need.marker.evaluate({"extra": ""})]
    return dict(sorted(found.items()))


def licence_words(package: Distribution) -> Iterator[str]:
    """What a package says of its licence: an SPDX expression, else its classifiers, else its own short line."""
    said = package.metadata
    classes = [line.rpartition(" :: ")[2] for line in said.get_all("Classifier") or [] if line.startswith("License ::")]
    short = (said.get("License") or "").strip()
    if said.get("License-Expression"):
        yield said["License-Expression"]
    elif classes:
        yield from classes
    elif short and "\n" not in short:
        yield short
    elif canonicalize_name(said["Name"]) in READ:
        yield READ[canonicalize_name(said["Name"])]


def bill(names: list[str]) -> Bom:
    """The bill of materials of these packages and what they need; each with a package URL."""
    made, licences = Bom(), LicenseFactory()
    made.metadata.component = Component(
        name="meltwright", version=thermo.__version__, type=ComponentType.APPLICATION, bom_ref="meltwright"
    )
    parts = []
    for name, package in needed(names).items():
        words = list(licence_words(package))
        own = [licences.make_from_string(words[0])] if len(words) == 1 else list(map(licences.make_with_name, words))
        url = PackageURL("pypi", name=name, version=package.version)
        parts.append(
            Component(
                name=name,
                version=package.version,
                type=ComponentType.LIBRARY,
                purl=url,
                bom_ref=str(url),
                licenses=own,
                description=package.metadata.get("Summary"),
            )
        )
    made.components.update(parts)
    made.register_dependency(made.metadata.component, parts)
    return made


if __name__ == "__main__":
    sys.stdout.write(JsonV1Dot6(bill(list(asked_for()))).output_as_string(indent=2) + "\n")
