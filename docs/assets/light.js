"use strict";
// A light is on: an entry that the address names opens, and the owner's numbers stand where they are called from.
(() => {
  const NUMBER = /^[\d+()\-. x#*]{3,30}$/; // what a telephone may be told to dial

  function openTarget() {
    const name = decodeURIComponent(location.hash.slice(1));
    const entry = name ? document.getElementById(name) : null;
    if (!(entry instanceof HTMLDetailsElement)) return;
    entry.open = true;
    entry.scrollIntoView();
  }

  function numbers() {
    const { own } = shared;
    const identity = own(own(kept.here.mine, "truck"), "identity"); // this browser's own: no link brings a number to call
    for (const row of words.all("a[data-call]")) {
      const number = own(identity, `call_${row.dataset.call}`);
      if (typeof number !== "string" || !NUMBER.test(number)) continue;
      row.href = `tel:${number.replace(/[^\d+*#]/g, "")}`;
      row.classList.add("mine");
      words.the("[data-number]", row).textContent = number;
    }
  }

  addEventListener("hashchange", openTarget);
  document.addEventListener("handover", numbers);
  openTarget();
  numbers();
})();
