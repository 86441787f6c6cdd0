// Tables that sort by a click on a heading and show only the rows with a word in them. Without this they are plain.
"use strict";
(() => {
  const LONG = 6; // rows from which a filter is worth its place
  const collator = new Intl.Collator(undefined, { numeric: true });

  const textOf = (row, column) => row.cells[column]?.textContent.trim() ?? "";
  const NUMBER = /^[+−-]?\d+(\.\d+)?$/;

  function compare(a, b) {
    if (!a || !b) return (a ? 0 : 1) - (b ? 0 : 1); // empty cells last
    if (NUMBER.test(a) && NUMBER.test(b)) return Number(a.replace("−", "-")) - Number(b.replace("−", "-"));
    return collator.compare(a, b);
  }

  function sortable(table) {
    const body = table.tBodies[0], headings = [...table.tHead.rows[0].cells], asFound = [...body.rows];
    headings.forEach((heading, column) => {
      if (!heading.textContent.trim()) return;
      const button = document.createElement("button");
      button.type = "button";
      button.className = "sort";
      button.append(...heading.childNodes);
      heading.append(button);
      button.addEventListener("click", () => {
        const next = { ascending: "descending", descending: null }[heading.ariaSort];
        const order = next === undefined ? "ascending" : next;
        for (const other of headings) other.removeAttribute("aria-sort");
        if (order) heading.setAttribute("aria-sort", order);
        const way = order === "descending" ? -1 : 1;
        const rows = !order ? asFound : [...asFound].sort((one, other) => {
          const [a, b] = [textOf(one, column), textOf(other, column)];
          return (a && b ? way : 1) * compare(a, b);
        });
        body.append(...rows);
      });
    });
  }

  function filtered(table, region) {
    const rows = [...table.tBodies[0].rows];
    if (rows.length < LONG) return;
    const line = document.createElement("p"), label = document.createElement("label");
    const input = document.createElement("input"), count = document.createElement("output");
    line.className = "filter";
    input.type = "search";
    input.autocomplete = "off";
    label.append("Only rows with ", input);
    line.append(label, " ", count);
    region.before(line);
    input.addEventListener("input", () => {
      const words = input.value.toLowerCase().split(/\s+/).filter(Boolean);
      for (const row of rows) {
        const text = [...row.cells].map((cell) => cell.textContent).join(" ").toLowerCase();
        row.hidden = !words.every((word) => text.includes(word));
      }
      const left = rows.filter((row) => !row.hidden).length;
      count.textContent = words.length ? `${left} of ${rows.length} rows` : "";
      for (const sums of table.tFoot?.rows ?? []) sums.hidden = left < rows.length; // they add up all rows
    });
  }

  for (const region of document.querySelectorAll(".scroll")) {
    const table = region.querySelector("table");
    if (!table.tBodies[0].rows.length) continue;
    sortable(table);
    filtered(table, region);
  }
})();
