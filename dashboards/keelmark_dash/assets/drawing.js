/* Puts drawings (see parts/markup.py) into the page and makes their links move inside the app. */
(function () {
  "use strict";

  function fill(element) {
    const markup = element.getAttribute("data-drawing");
    if (element.keelmarkDrawn === markup) return;
    element.keelmarkDrawn = markup;
    element.innerHTML = markup;
    element.querySelectorAll("[data-scroll-to]").forEach(showChosen);
  }

  /* A strip wider than the screen opens at the chosen week. */
  function showChosen(scroller) {
    const target = scroller.querySelector(scroller.getAttribute("data-scroll-to"));
    if (!target) return;
    window.requestAnimationFrame(function () {
      const room = scroller.clientWidth - target.offsetWidth * 2;
      scroller.scrollLeft = Math.max(0, target.offsetLeft - room);
    });
  }

  function search(root) {
    if (root.nodeType !== Node.ELEMENT_NODE) return;
    if (root.hasAttribute("data-drawing")) fill(root);
    root.querySelectorAll("[data-drawing]").forEach(fill);
  }

  new MutationObserver(function (changes) {
    changes.forEach(function (change) {
      if (change.type === "attributes") fill(change.target);
      else change.addedNodes.forEach(search);
    });
  }).observe(document.documentElement, {
    childList: true,
    subtree: true,
    attributes: true,
    attributeFilter: ["data-drawing"],
  });

  document.addEventListener("click", function (event) {
    const link = event.target.closest && event.target.closest("a[data-inapp], [data-drawing] a[href^='/']");
    if (!link || event.button || event.metaKey || event.ctrlKey || event.shiftKey || event.altKey) return;
    event.preventDefault();
    window.history.pushState({}, "", link.getAttribute("href"));
    window.dispatchEvent(new CustomEvent("_dashprivate_pushstate"));
    window.scrollTo(0, 0);
  });

  /* Arrow keys move from gauge to gauge; one gauge of a strip is in the tab order. */
  const STEPS = { ArrowLeft: [0, -1], ArrowRight: [0, 1], ArrowUp: [-1, 0], ArrowDown: [1, 0] };

  function move(cell, key) {
    const row = cell.closest("tr");
    const rows = Array.from(row.parentElement.rows);
    const cells = Array.from(row.querySelectorAll("a.cell"));
    if (key === "Home") return cells[0];
    if (key === "End") return cells[cells.length - 1];
    const step = STEPS[key];
    const next = rows[rows.indexOf(row) + step[0]];
    return next && next.querySelectorAll("a.cell")[cells.indexOf(cell) + step[1]];
  }

  document.addEventListener("keydown", function (event) {
    const cell = event.target.closest && event.target.closest("[data-drawing] a.cell");
    if (!cell || !(event.key in STEPS || event.key === "Home" || event.key === "End")) return;
    event.preventDefault();
    const next = move(cell, event.key);
    if (!next) return;
    cell.tabIndex = -1;
    next.tabIndex = 0;
    next.focus();
  });
})();
