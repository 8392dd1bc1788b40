"""What every test stands on: silence unless asked, and property tests that draw the same examples each time."""

import gc
import logging
from collections.abc import Generator

import pytest
from hypothesis import settings

settings.register_profile("house", derandomize=True, deadline=None, database=None, max_examples=50)
settings.load_profile("house")


class Silence:
    """Fails a test in which anything was logged at WARNING or above, unless the test asks for the `heard` fixture.

    Records are taken where they are made, so that a logger that does not propagate is heard as well.
    """

    def __init__(self) -> None:
        """Listens from now on."""
        self.heard: list[logging.LogRecord] = []
        self._make = logging.getLogRecordFactory()
        logging.setLogRecordFactory(self._listen)

    def _listen(self, *args: object, **kwargs: object) -> logging.LogRecord:
        record = self._make(*args, **kwargs)
        if record.levelno >= logging.WARNING:
            self.heard.append(record)
        return record

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_call(self, item: pytest.Item) -> Generator[None, object, object]:
        outcome = yield
        asked = "heard" in getattr(item, "fixturenames", ())
        said = [f"{record.name}: {record.levelname}: {record.getMessage()}" for record in self.heard]
        if said and not asked:
            pytest.fail("logged without being asked:\n" + "\n".join(said), pytrace=False)
        if asked and not said:
            pytest.fail("the test asks for log records, and none came", pytrace=False)
        return outcome

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_teardown(self) -> Generator[None, object, object]:
        outcome = yield
        self.heard.clear()
        return outcome


_silence = Silence()


def pytest_configure(config: pytest.Config) -> None:
    config.pluginmanager.register(_silence)


def pytest_collection_finish() -> None:
    # Thousands of tests stay till the end: looking through them for garbage, again and again, is a sixth of the time.
    gc.collect()
    gc.freeze()
    gc.set_threshold(50_000, 20, 20)


@pytest.fixture(scope="session")
def in_this_process():
    """Builds draw here unless they say `--jobs`: starting processes takes longer than drawing a few pages."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("benchleaf.build.documents.processors", lambda: 1)
        yield


@pytest.fixture
def heard() -> list[logging.LogRecord]:
    """The records of WARNING and above that this test makes; at least one must come."""
    return _silence.heard
