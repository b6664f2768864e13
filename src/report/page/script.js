"use strict";
// Nothing on this page needs what follows: it sorts tables and looks up the study of runs and mass.
for (const table of document.querySelectorAll("table")) {
  const body = table.tBodies[0];
  [...table.tHead.rows[0].cells].forEach((head, at) => {
    const words = head.textContent.trim();
    if (!words) return;
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = words;
    button.title = "Sort by this column";
    head.replaceChildren(button);
    button.addEventListener("click", () => {
      const down = head.getAttribute("aria-sort") === "descending";
      for (const other of table.tHead.rows[0].cells) other.removeAttribute("aria-sort");
      head.setAttribute("aria-sort", down ? "ascending" : "descending");
      const key = (row) => {
        const cell = row.cells[at];
        return cell.dataset.v === undefined ? cell.textContent : Number(cell.dataset.v);
      };
      const order = (a, b) => (typeof a === "number" && typeof b === "number" ? a - b : String(a).localeCompare(String(b)));
      const rows = [...body.rows].sort((a, b) => order(key(a), key(b)));
      body.replaceChildren(...(down ? rows : rows.reverse()));
    });
  });
}
for (const cell of document.querySelectorAll("td[data-v]")) cell.title = cell.dataset.v;
const study = document.getElementById("study");
if (study) {
  const { axes, cells, names } = JSON.parse(study.textContent);
  const box = document.getElementById("try");
  box.hidden = false;
  const inputs = axes.map((axis, i) => document.getElementById("axis-" + i));
  const show = () => {
    const at = inputs.map((input) => Number(input.value));
    axes.forEach((axis, i) => {
      document.getElementById("at-" + i).textContent = axis.shown[at[i]];
      inputs[i].setAttribute("aria-valuetext", axis.shown[at[i]]);
    });
    const cell = cells[at[1] * axes[0].shown.length + at[0]];
    names.forEach((name, i) => {
      document.getElementById("of-" + i).textContent = cell.shown[i];
    });
    document.getElementById("bounds").textContent = cell.bounds;
  };
  inputs.forEach((input) => input.addEventListener("input", show));
  show();
}
