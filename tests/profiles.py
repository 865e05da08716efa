"""All shipped profiles, for tests of what holds for every one of them."""

from advisor.paths import species_folder
from advisor.reading.species import load_species

PROFILES = {
    path.stem: load_species(path.stem)
    for path in sorted(species_folder().glob("*.yaml"))
    if path.stem not in ("TEMPLATE", "sources")
}
