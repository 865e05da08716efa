"""Our quick frozen dataclasses against the standard ones, which they stand for."""

import copy
import dataclasses
import pickle

import pytest

from advisor.frozen import dataclass


@dataclass(frozen=True, slots=True)
class Quick:
    """Two fields, one with a default."""

    name: str
    sizes: tuple[float, ...] = (1.0,)


@dataclasses.dataclass(frozen=True, slots=True)
class Standard:
    """The same by the standard library."""

    name: str
    sizes: tuple[float, ...] = (1.0,)


@pytest.mark.parametrize("kind", [Quick, Standard])
def test_nothing_can_be_changed_or_deleted(kind: type) -> None:
    made = kind("a")
    with pytest.raises(dataclasses.FrozenInstanceError, match="cannot assign to field 'name'"):
        made.name = "b"
    with pytest.raises(dataclasses.FrozenInstanceError, match="cannot delete field 'name'"):
        del made.name
    with pytest.raises((AttributeError, TypeError)):
        made.other = 1
    assert made.name == "a"


@pytest.mark.parametrize("kind", [Quick, Standard])
def test_equal_by_values_and_usable_as_a_key(kind: type) -> None:
    assert kind("a") == kind("a", (1.0,)) != kind("a", (2.0,))
    assert {kind("a"): 1}[kind("a")] == 1
    assert kind("a") != ("a", (1.0,))


def test_not_equal_to_another_class_with_the_same_values() -> None:
    assert Quick("a") != Standard("a")


def test_tools_of_the_standard_library_work() -> None:
    quick, standard = Quick("a"), Standard("a")
    assert repr(quick) == repr(standard).replace("Standard", "Quick")
    assert dataclasses.asdict(quick) == dataclasses.asdict(standard)
    assert dataclasses.replace(quick, name="b") == Quick("b")
    assert copy.deepcopy(quick) == pickle.loads(pickle.dumps(quick)) == quick


@pytest.mark.parametrize("kind", [Quick, Standard])
@pytest.mark.parametrize(
    ("values", "named"), [((), {}), (("a", (), 1), {}), (("a",), {"name": "b"}), (("a",), {"other": 1})]
)
def test_wrong_values_are_refused(kind: type, values: tuple[object, ...], named: dict[str, object]) -> None:
    with pytest.raises(TypeError):
        kind(*values, **named)


def test_a_default_can_be_made_afresh() -> None:
    @dataclass(frozen=True, slots=True)
    class Fresh:
        """A field whose default is made for each object."""

        counts: dict[str, int] = dataclasses.field(default_factory=dict)

    assert Fresh().counts == {} and Fresh().counts is not Fresh().counts


def test_other_forms_are_refused() -> None:
    with pytest.raises(TypeError, match="data here do not change"):
        dataclass(frozen=False, slots=True)
