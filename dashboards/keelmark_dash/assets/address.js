/* Controls write themselves into the address; the page follows the address. */
(function () {
  "use strict";

  const RESETS = { group: ["rows"] };
  /* What an empty part of the address is called in a control. */
  const EMPTY = { group: "all", show: "gauges" };
  let path = null;
  /* What each control holds, so that it is only told what it does not hold already. */
  let held = {};

  function choose(value, id, search, shown) {
    const parts = new URLSearchParams(search || "");
    const given = parts.get(id.part);
    const nothing = window.dash_clientside.no_update;
    if (value !== null && value !== undefined) held[id.part] = value;
    if (!shown || value === null || value === undefined || value === given) return nothing;
    if (given === null && value === (shown.defaults[id.part] || EMPTY[id.part])) return nothing;
    if (value === EMPTY[id.part]) parts.delete(id.part);
    else parts.set(id.part, value);
    (RESETS[id.part] || []).forEach(function (name) { parts.delete(name); });
    const text = parts.toString();
    return text ? "?" + text : "";
  }

  /* After going back, the controls follow; an answer that comes too late, to an address left since, is passed over. */
  function tellControls(shown) {
    const built = path !== window.location.pathname;
    if (shown.search !== window.location.search) return;
    Object.keys(shown.address).forEach(function (part) {
      const value = shown.address[part] || EMPTY[part];
      const id = { kind: "address-control", part: part };
      if (!built && held[part] !== value && document.getElementById(JSON.stringify(id))) {
        window.dash_clientside.set_props(id, { value: value });
      }
      held[part] = value;
    });
  }

  /* The page stands: title, controls as the address says, and the reader's place at its start if it is a new page. */
  function arrive(shown) {
    if (!shown) return shade();
    document.title = shown.title + " · keelmark";
    tellControls(shown);
    const main = document.getElementById("main");
    const lost = document.activeElement === document.body;
    if (main && path !== null && (path !== window.location.pathname || lost)) main.focus({ preventScroll: true });
    path = window.location.pathname;
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
