"""A real WebKit as Debian builds it, the engine of every browser on an iPhone, driven by its own driver on a screen that nobody sees.

What a page says or asks for it does not tell.
"""

import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from selenium.common.exceptions import StaleElementReferenceException
from selenium.webdriver import WebKitGTK
from selenium.webdriver.common.by import By
from selenium.webdriver.remote.webelement import WebElement
from selenium.webdriver.support.ui import WebDriverWait
from selenium.webdriver.webkitgtk.service import Service

from tests.outside.firefox import SLOW

CHOOSE = """
const chosen = new DataTransfer();
chosen.items.add(new File([told[2]], told[1]));
const field = document.querySelector(told[0]);
field.files = chosen.files;
field.dispatchEvent(new Event("change", {bubbles: true}));
"""


@contextmanager
def screen() -> Iterator[str]:
    """The name of a screen that no one sees; WebKit has no way to go without one."""
    with subprocess.Popen(["Xvfb", "-displayfd", "1", "-screen", "0", "1400x1000x24"], stdout=subprocess.PIPE, text=True) as server:
        assert server.stdout
        try:
            yield f":{server.stdout.readline().strip()}"
        finally:
            server.terminate()


class WebKit:
    """One window with nothing stored."""

    def __init__(self, driver: str, display: str) -> None:
        self._driver = WebKitGTK(service=Service(executable_path=driver, env={"DISPLAY": display}))
        self._driver.set_window_size(1366, 900)
        self._driver.set_script_timeout(SLOW)
        self.version = self._driver.capabilities["browserVersion"]

    def close(self) -> None:
        self._driver.quit()

    def open(self, address: str) -> None:
        self._driver.get(address)

    def ask(self, script: str, *told: Any) -> Any:
        """What a script on the page returns; a promise is waited for."""
        return self._driver.execute_async_script(
            f"const done = arguments[arguments.length - 1]; (async (...told) => {{ {script} }})(...arguments).then(done)", *told)

    def _find(self, selector: str) -> WebElement:
        return self._driver.find_element(By.CSS_SELECTOR, selector)

    def click(self, selector: str) -> None:
        """Click on what is there, also where a script puts another in its place just then."""

        def done(_driver: Any) -> bool:
            self._find(selector).click()
            return True

        WebDriverWait(self._driver, SLOW, 0.1, [StaleElementReferenceException]).until(done, selector)

    def type(self, selector: str, text: str) -> None:
        """Type in a field in place of what stands there; a file's path in a field for files."""
        field = self._find(selector)
        if field.get_attribute("type") == "file":  # the driver has no way into one
            self.ask(CHOOSE, selector, Path(text).name, Path(text).read_text())
            return
        field.clear()
        field.send_keys(text)

    def until(self, script: str, *told: Any, seconds: float = SLOW) -> Any:
        """Wait until a script on the page returns something; that."""
        return WebDriverWait(self._driver, seconds, 0.05).until(lambda _driver: self.ask(script, *told), script)
