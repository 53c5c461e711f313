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

  /* What is wider than the screen fades out on the side where more of it lies. */
  const WIDE = ".table-scroll, .strip-scroll, .lanes-scroll";

  function tellMore(scroller) {
    const rest = scroller.scrollWidth - scroller.clientWidth - Math.abs(scroller.scrollLeft);
    const more = [scroller.scrollLeft > 2 && "left", rest > 2 && "right"].filter(Boolean).join(" ");
    if (scroller.getAttribute("data-more") !== more) scroller.setAttribute("data-more", more);
  }

  const watched = new WeakSet();
  const sizes = new ResizeObserver(function (entries) {
    entries.forEach(function (entry) {
      const scroller = entry.target.closest(WIDE);
      if (!scroller) return;
      if (entry.target === scroller && scroller.hasAttribute("data-scroll-to")) showChosen(scroller);
      tellMore(scroller);
    });
  });

  function watch(scroller) {
    if (watched.has(scroller)) return;
    watched.add(scroller);
    sizes.observe(scroller);
    if (scroller.firstElementChild) sizes.observe(scroller.firstElementChild);
    scroller.addEventListener("scroll", function () { tellMore(scroller); }, { passive: true });
  }

  function search(root) {
    if (root.nodeType !== Node.ELEMENT_NODE) return;
    if (root.hasAttribute("data-drawing")) fill(root);
    root.querySelectorAll("[data-drawing]").forEach(fill);
    if (root.matches(WIDE)) watch(root);
    root.querySelectorAll(WIDE).forEach(watch);
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
