"""A real Firefox as it is installed, driven by Mozilla's own client, with all that it says and loads written down.

The client reaches Firefox's own side too. There the browser's console is read, with what no page can see: what the
policy blocked, what a worker threw; and each request, for a file as for a host.
"""

import gc
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

with warnings.catch_warnings(action="ignore", category=DeprecationWarning):  # about old modules that its parts still use
    from marionette_driver import By, Wait
    from marionette_driver.errors import StaleElementException
    from marionette_driver.marionette import Marionette, WebElement

SLOW = 30  # seconds a start may take on a busy machine
SETTINGS = {
    "security.fileuri.strict_origin_policy": True,  # Firefox's own rule; its drivers like to switch it off
    "services.settings.server": "data:,#none",
    "messaging-system.rsexperimentloader.enabled": False,
}

# Errors and warnings come to Firefox's console service; what scripts log stays with the process of the page, so a script
# beside the page passes it on.
LISTEN = """
const here = Services.wm.getMostRecentWindow("navigator:browser");
here.said = [];
here.asked = [];
here.listener = { observe(message) {
  let told = null;
  try { told = message.QueryInterface(Ci.nsIScriptError); } catch { return; }
  here.said.push([told.sourceName, `${told.category}: ${told.errorMessage}`]);
} };
Services.console.registerListener(here.listener);
Services.mm.addMessageListener("outside:said", ({ data }) => here.said.push(data));
const beside = () => {
  const everyone = Cc["@mozilla.org/systemprincipal;1"].createInstance(Ci.nsIPrincipal);
  Cc["@mozilla.org/consoleAPI-storage;1"].getService(Ci.nsIConsoleAPIStorage).addLogEventListener((event) => {
    const { level, filename, arguments: words } = event.wrappedJSObject ?? event;
    sendAsyncMessage("outside:said", [filename, `console.${level}: ${[...words].join(" ")}`]);
  }, everyone);
};
Services.mm.loadFrameScript(`data:,(${encodeURIComponent(beside)})()`, true);
here.observer = { observe(channel) {
  const { URI, loadInfo } = channel.QueryInterface(Ci.nsIChannel);
  const page = loadInfo.externalContentPolicyType === Ci.nsIContentPolicy.TYPE_DOCUMENT;
  if (page || !loadInfo.triggeringPrincipal.isSystemPrincipal) here.asked.push(URI.spec);
} };
for (const topic of ["http-on-opening-request", "file-channel-opened"]) Services.obs.addObserver(here.observer, topic);
"""
TELL = """
const here = Services.wm.getMostRecentWindow("navigator:browser");
return [here.said.splice(0), here.asked.splice(0)];
"""
ITS_OWN = ("chrome:", "resource:", "moz-extension:")


class Firefox:
    """One tab of a Firefox with an empty profile of its own."""

    def __init__(self, program: str, place: Path, *, service_worker: bool = False) -> None:
        """Start it; ``place`` keeps its profile and its log. Without a service worker every page is what a first visit is."""
        settings = SETTINGS | {"dom.serviceWorkers.enabled": service_worker}
        self._driver = Marionette(bin=program, headless=True, prefs=settings, workspace=str(place), port=0,
                                  gecko_log=str(place / "firefox.log"), app_args=["-remote-allow-system-access"])
        self._driver.start_session()
        self.version = self._driver.session_capabilities["browserVersion"]
        with self._inside():
            self._driver.execute_script(LISTEN, sandbox="system")
        self.open("about:blank")
        self.heard()

    def close(self) -> None:
        self._driver.quit()
        self._driver.cleanup()
        del self._driver
        gc.collect()  # it tidies up once more when collected, which fails after Python has begun to end

    @contextmanager
    def _inside(self) -> Iterator[None]:
        with self._driver.using_context(self._driver.CONTEXT_CHROME):
            yield

    def open(self, address: str) -> None:
        self._driver.navigate(address)

    def ask(self, script: str, *told: Any) -> Any:
        """What a script on the page returns; a promise is waited for."""
        return self._driver.execute_async_script(
            f"const done = arguments[arguments.length - 1]; (async (...told) => {{ {script} }})(...arguments).then(done)",
            script_args=told)  # fmt: skip

    def find(self, selector: str) -> WebElement:
        return self._driver.find_element(By.CSS_SELECTOR, selector)

    def click(self, selector: str) -> None:
        """Click on what is there, also where a script puts another in its place just then."""

        def done(_driver: Any) -> bool:
            self.find(selector).click()
            return True

        Wait(self._driver, timeout=SLOW, interval=0.1, ignored_exceptions=[StaleElementException]).until(done, message=selector)

    def type(self, selector: str, text: str) -> None:
        """Type in a field in place of what stands there; a file's path in a field for files."""
        field = self.find(selector)
        if field.get_attribute("type") != "file":
            field.clear()
        field.send_keys(text)

    def until(self, script: str, *told: Any, seconds: float = SLOW) -> Any:
        """Wait until a script on the page returns something; that."""
        last: list[Any] = [None]

        def there(_driver: Any) -> bool:
            last[0] = self.ask(script, *told)
            return bool(last[0])

        Wait(self._driver, timeout=seconds, interval=0.05).until(there, message=script)
        return last[0]

    def heard(self) -> tuple[list[str], list[str]]:
        """What pages said since the last time, and what was asked for: files and addresses."""
        with self._inside():
            said, asked = self._driver.execute_script(TELL, sandbox="system")
        return [f"{source}: {words}" for source, words in said if not str(source).startswith(ITS_OWN)], asked
