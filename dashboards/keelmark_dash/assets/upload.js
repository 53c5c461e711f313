/* The file field inside the drop area has no name of its own; give it one. */
(function () {
  "use strict";

  function label() {
    document.querySelectorAll(".upload input[type=file]:not([aria-label])").forEach(function (field) {
      const calendar = field.closest(".upload").classList.contains("calendar");
      field.setAttribute("aria-label", calendar ? "Choose a calendar file" : "Choose a training log to look at");
    });
  }

  new MutationObserver(label).observe(document.documentElement, { childList: true, subtree: true });
})();
