/* The grid of scores from the keyboard: Enter and the arrow keys go from line to line, Ctrl and Enter store. */
(function () {
  "use strict";

  function lineOf(cell) { return cell.closest("tr"); }

  function sameField(line, field) { return line ? line.querySelector("td." + field + " input") : null; }

  function step(cell, down) {
    const field = cell.closest("td").className.split(" ")[0];
    let line = lineOf(cell);
    do {
      line = down ? line.nextElementSibling : line.previousElementSibling;
    } while (line && !line.querySelector("input[type=checkbox]:checked"));
    const target = sameField(line, field);
    if (target) { target.focus(); target.select(); }
  }

  document.addEventListener("keydown", function (event) {
    const form = event.target.closest && event.target.closest(".wb-form");
    if (!form) return;
    if (event.key === "Enter" && (event.ctrlKey || event.metaKey)) {
      event.preventDefault();
      /* What was typed last is told to the page a moment after the key. */
      window.setTimeout(function () { document.getElementById("log-wb-save").click(); }, 500);
      return;
    }
    const cell = event.target.closest("td input");
    if (!cell || event.altKey || event.shiftKey) return;
    if (event.key === "Enter" || event.key === "ArrowDown") { event.preventDefault(); step(cell, true); }
    else if (event.key === "ArrowUp") { event.preventDefault(); step(cell, false); }
  }, true);

  function counted(ticks) {
    const came = (ticks || []).filter(Boolean).length;
    return came ? "Store this session for " + came : "Store this session";
  }

  /* A text half typed is still there after a look at another page, until it is stored; it stays in this window. */
  const DRAFT = "keelmark-whiteboard";

  function draft(value) {
    try {
      if (value === undefined) return window.sessionStorage.getItem(DRAFT) || "";
      if (value) window.sessionStorage.setItem(DRAFT, value);
      else window.sessionStorage.removeItem(DRAFT);
    } catch (error) { /* a browser that keeps nothing keeps no draft either */ }
    return "";
  }

  function recalled() { return draft() || window.dash_clientside.no_update; }

  function kept(value) { draft(value || ""); return window.dash_clientside.no_update; }

  function stored(written) {
    if (written && written.stored === "whiteboard") draft("");
    return window.dash_clientside.no_update;
  }

  window.dash_clientside = window.dash_clientside || {};
  window.dash_clientside.keelmark_whiteboard = { counted: counted, recalled: recalled, kept: kept, stored: stored };
})();
