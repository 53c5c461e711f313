/* Controls write themselves into the address; the page follows the address. */
(function () {
  "use strict";

  const RESETS = { group: ["rows"] };
  let shownPath = null;

  function choose(value, id, search) {
    const parts = new URLSearchParams(search || "");
    if (value === null || value === undefined || parts.get(id.part) === value) return window.dash_clientside.no_update;
    if (id.part === "group" && value === "all") parts.delete("group");
    else parts.set(id.part, value);
    (RESETS[id.part] || []).forEach(function (name) { parts.delete(name); });
    const text = parts.toString();
    return text ? "?" + text : "";
  }

  /* A new page gets its title, and the reader's place moves to its start. */
  function arrive(title) {
    if (title) document.title = title;
    const path = window.location.pathname;
    if (shownPath !== null && shownPath !== path) {
      const main = document.getElementById("main");
      if (main) main.focus({ preventScroll: true });
    }
    shownPath = path;
    return shade();
  }

  function shade() {
    return document.documentElement.getAttribute("data-mantine-color-scheme") === "dark" ? "dark" : "light";
  }

  /* Charts follow the day and night colours, whoever changes them. */
  new MutationObserver(function () {
    if (window.dash_clientside.set_props) window.dash_clientside.set_props("shell-shade", { data: shade() });
  }).observe(document.documentElement, { attributes: true, attributeFilter: ["data-mantine-color-scheme"] });

  window.dash_clientside = window.dash_clientside || {};
  window.dash_clientside.keelmark = { choose: choose, arrive: arrive };
})();
