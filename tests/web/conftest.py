"""A studio with two owners who know nothing of each other."""

from collections.abc import Callable
from typing import Any

import pytest
from django.contrib.auth import get_user_model
from django.test import Client as Browser

from tenter.web import store
from tenter.web.demo import load_demo_studio

PASSWORD = "cloth and daylight"


@pytest.fixture(autouse=True)
def nothing_kept() -> None:
    """Live sittings of one test are none of the next's, whose rows may have the same numbers."""
    store.forget()


@pytest.fixture
def person(db: None) -> Callable[[str], Any]:
    return lambda name: get_user_model().objects.create_user(name, password=PASSWORD)


@pytest.fixture
def owner(person: Callable[[str], Any]) -> Any:
    """The owner of the demo studio."""
    user = person("Wenna Castrall")
    load_demo_studio(user)
    return user


@pytest.fixture
def stranger(person: Callable[[str], Any]) -> Any:
    return person("Ludo Marsh")


def browser_of(user: Any) -> Browser:
    browser = Browser()
    browser.force_login(user)
    return browser
