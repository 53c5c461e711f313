// In the rows of a grid arrow keys walk the cells; the tab key leads on to what comes after the grid, or back before it.
document.addEventListener("keydown", event => {
  const rows = event.key === "Tab" && event.target.closest?.(".ag-body");
  if (!rows) return;
  const grid = rows.closest(".ag-root-wrapper");
  const stops = [...document.querySelectorAll("a[href], button, input, select, textarea, summary, [tabindex='0']")]
    .filter(one => one.tabIndex >= 0 && !one.disabled && !one.closest(".ag-body") && one.checkVisibility())
    .filter(one => !one.closest(".ag-tab-guard"));
  const after = one => rows.compareDocumentPosition(one) & Node.DOCUMENT_POSITION_FOLLOWING && !grid.contains(one);
  const before = one => rows.compareDocumentPosition(one) & Node.DOCUMENT_POSITION_PRECEDING;
  const next = event.shiftKey ? stops.findLast(before) : stops.find(after);
  if (!next) return;
  event.preventDefault();
  event.stopPropagation();
  next.focus();
}, true);
