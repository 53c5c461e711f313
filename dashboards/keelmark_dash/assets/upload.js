/* The file field inside the drop area has no name of its own; give it one. */
(function () {
  "use strict";

  const NAMES = { calendar: "Choose a calendar file", movements: "Choose a file of movements",
                  people: "Choose a list of people" };

  function label() {
    document.querySelectorAll(".upload input[type=file]:not([aria-label])").forEach(function (field) {
      const kind = field.closest(".upload").classList;
      const found = Object.keys(NAMES).find(name => kind.contains(name));
      field.setAttribute("aria-label", NAMES[found] || "Choose a training log to look at");
    });
  }

  new MutationObserver(label).observe(document.documentElement, { childList: true, subtree: true });
})();
