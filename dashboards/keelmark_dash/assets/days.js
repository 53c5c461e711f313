/* The calendar of days from the keyboard: a letter says what a day was, arrow keys go from day to day. */
(function () {
  "use strict";

  const CELL = ".day-calendar button[data-day]";

  function calendar(cell) { return cell.closest(".day-calendar"); }

  function keys(cell) { return JSON.parse(calendar(cell).dataset.keys); }

  function say(cell, choice) {
    const state = choice[0], words = choice[1];
    if (cell.dataset.was === undefined) cell.dataset.was = cell.dataset.state;
    cell.dataset.state = state;
    const changed = state !== cell.dataset.was;
    cell.className = "state " + state + (changed ? " changed" : "");
    cell.textContent = words;
    const named = cell.getAttribute("aria-label").split(": ")[0];
    cell.setAttribute("aria-label", named + ": " + words + (changed ? ", not saved yet" : ""));
    counted();
  }

  function changed() {
    return Array.from(document.querySelectorAll(CELL)).filter(function (cell) {
      return cell.dataset.was !== undefined && cell.dataset.was !== cell.dataset.state;
    });
  }

  function counted() {
    const button = document.getElementById("log-save-typed");
    if (!button) return;
    const many = changed().length;
    window.dash_clientside.set_props("log-save-typed", {
      disabled: many === 0,
      children: many ? "Save " + many + (many === 1 ? " changed day" : " changed days") : "Save the changed days",
    });
  }

  function step(cell, across, down) {
    const place = cell.closest("td"), line = place.parentElement;
    const column = Array.prototype.indexOf.call(line.children, place);
    let target = null;
    if (across) {
      let next = place;
      do { next = across > 0 ? next.nextElementSibling : next.previousElementSibling; }
      while (next && !next.querySelector("button[data-day]"));
      target = next;
    } else {
      let other = line;
      do { other = down > 0 ? other.nextElementSibling : other.previousElementSibling; }
      while (other && !other.children[column].querySelector("button[data-day]"));
      target = other && other.children[column];
    }
    const button = target && target.querySelector("button[data-day]");
    if (button) { cell.tabIndex = -1; button.tabIndex = 0; button.focus(); }
  }

  document.addEventListener("keydown", function (event) {
    const cell = event.target.closest && event.target.closest(CELL);
    if (!cell || event.altKey || event.shiftKey) return;
    if (event.key === "Enter" && (event.ctrlKey || event.metaKey)) {
      event.preventDefault();
      document.getElementById("log-save-typed").click();
      return;
    }
    if (event.ctrlKey || event.metaKey) return;
    const moves = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
    if (moves[event.key]) { event.preventDefault(); step(cell, moves[event.key][0], moves[event.key][1]); return; }
    const choice = keys(cell)[event.key.toLowerCase()];
    if (choice) { event.preventDefault(); say(cell, choice); }
  });

  document.addEventListener("click", function (event) {
    const cell = event.target.closest && event.target.closest(CELL);
    if (!cell) return;
    const choices = Object.values(keys(cell));
    const at = choices.findIndex(function (choice) { return choice[0] === cell.dataset.state; });
    say(cell, choices[(at + 1) % choices.length]);
  });

  function typed() {
    const said = changed().map(function (cell) { return [cell.dataset.who, cell.dataset.day, cell.dataset.state]; });
    return said.length ? said : window.dash_clientside.no_update;
  }

  window.dash_clientside = window.dash_clientside || {};
  window.dash_clientside.keelmark_days = { typed: typed };
})();
