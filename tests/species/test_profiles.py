"""Every shipped profile against schema and lints, and the bibliography against its uses."""

from pathlib import Path

import pytest
from click.testing import CliRunner

from advisor.cli import main
from advisor.reading.names import profile_files
from advisor.reading.sources import read_sources
from advisor.reading.species import load_species
from advisor.reading.species_lints import check_profile, cited_keys
from advisor.reading.yaml_text import read_yaml
from advisor.rules import rule_modules
from tests.support import ROOT

FILES = sorted(profile_files().values())
REQUIRED = [
    "pantherophis-guttatus",
    "pantherophis-obsoletus",
    "pantherophis-spiloides",
    "pituophis-melanoleucus",
    "pituophis-catenifer",
    "lampropeltis-californiae",
    "lampropeltis-getula",
    "lampropeltis-triangulum",
    "heterodon-nasicus",
    "hydrodynastes-gigas",
    "elaphe-taeniura",
    "elaphe-carinata",
    "natrix-natrix",
    "leioheterodon-madagascariensis",
    "xenopeltis-unicolor",
    "boaedon-capensis",
    "python-regius",
    "python-brongersmai",
    "python-bivittatus",
    "aspidites-melanocephalus",
    "aspidites-ramsayi",
    "morelia-spilota",
    "morelia-viridis",
    "antaresia-childreni",
    "liasis-fuscus",
    "malayopython-reticulatus",
    "eublepharis-macularius",
    "hemitheconyx-caudicinctus",
    "correlophus-ciliatus",
    "rhacodactylus-auriculatus",
    "gekko-gecko",
    "gekko-japonicus",
    "paroedura-picta",
    "phelsuma-grandis",
    "pogona-vitticeps",
    "chlamydosaurus-kingii",
    "physignathus-cocincinus",
    "intellagama-lesueurii",
    "amphibolurus-muricatus",
    "calotes-versicolor",
    "laemanctus-longipes",
    "basiliscus-plumifrons",
    "iguana-iguana",
    "anolis-sagrei",
    "chamaeleo-calyptratus",
    "chamaeleo-chamaeleon",
    "furcifer-pardalis",
    "varanus-exanthematicus",
    "varanus-acanthurus",
    "varanus-albigularis",
    "podarcis-muralis",
    "timon-lepidus",
    "plestiodon-chinensis",
    "testudo-hermanni",
    "testudo-graeca",
    "testudo-marginata",
    "testudo-horsfieldii",
    "centrochelys-sulcata",
    "stigmochelys-pardalis",
    "chelonoidis-carbonarius",
    "malacochersus-tornieri",
    "trachemys-scripta",
    "emys-orbicularis",
    "chrysemys-picta",
    "sternotherus-odoratus",
    "terrapene-carolina",
    "chelydra-serpentina",
    "pelodiscus-sinensis",
    "mauremys-reevesii",
    "anolis-carolinensis",
    "antaresia-maculosa",
    "coluber-constrictor",
    "cyclura-cornuta",
    "cyclura-cychlura",
    "cyclura-nubila",
    "dipsosaurus-dorsalis",
    "geochelone-elegans",
    "goniurosaurus-hainanensis",
    "hemidactylus-bowringii",
    "hemidactylus-frenatus",
    "lacerta-agilis",
    "lacerta-schreiberi",
    "lampropeltis-abnorma",
    "lepidodactylus-lugubris",
    "phelsuma-laticauda",
    "plestiodon-elegans",
    "scincella-modesta",
    "varanus-niloticus",
    "varanus-salvator",
]


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_profile_passes_schema_and_lints(path: Path) -> None:
    assert check_profile(path).id == path.stem


def test_the_species_that_were_asked_for_are_there() -> None:
    ids = {path.stem for path in FILES}
    assert set(REQUIRED) <= ids
    assert len(ids) >= 80


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_every_figure_names_a_source(path: Path) -> None:
    """Each block with a temperature, days or a share has sources of its own, and the climate of the nests is told."""

    def unsourced(value: object, where: str) -> list[str]:
        if isinstance(value, list):
            return [found for one in value for found in unsourced(one, where)]
        if not isinstance(value, dict):
            return []
        figures = {
            "at",
            "low",
            "below",
            "above",
            "days",
            "male_share",
            "share",
            "range",
            "from",
            "shell",
            "kind",
        }
        bare = [where] if figures & set(value) and not value.get("sources") else []
        return bare + [found for key, one in value.items() for found in unsourced(one, f"{where}.{key}")]

    assert unsourced(read_yaml(path).data, path.stem) == []
    species = load_species(path.stem)
    assert species.climate is not None
    following = species.laying.next_clutch if species.laying else None
    assert following is None or (following.low <= following.high and following.support.sources)


def test_bibliography_and_uses_agree_both_ways() -> None:
    known = read_sources(ROOT / "species" / "sources.yaml")
    used = {key for path in FILES for _, key in cited_keys(read_yaml(path))}
    used |= {key for _, key in cited_keys(read_yaml(ROOT / "species" / "TEMPLATE.yaml"))}
    used |= {source.via for source in known.values() if source.via}
    code = "\n".join(path.read_text("utf-8") for path in (ROOT / "advisor").rglob("*.py"))
    used |= {key for key in known if f'"{key}"' in code}
    used |= {key for module in rule_modules() for key in module.RULE.sources}
    assert used - set(known) == set()
    assert set(known) - used == set()


def test_all_profiles_are_checked_when_none_is_named() -> None:
    result = CliRunner().invoke(main, ["species", "check"])
    assert result.exit_code == 0
    assert len(result.stdout.splitlines()) == len(FILES) + 1
