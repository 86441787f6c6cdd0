// Two pictures from one eye, one over the other: a slider uncovers more of the one or of the other.
"use strict";
(() => {
  const over = document.querySelector(".picture.over");
  const under = document.querySelector(".picture:not(.over)");
  if (!over || !under) return; // without this they stand side by side
  const frame = document.createElement("div"), label = document.createElement("label");
  const slider = document.createElement("input");
  frame.className = "compare";
  const first = under.querySelector("img");
  first.before(frame);
  frame.append(first, over.querySelector("img"));
  Object.assign(slider, { type: "range", min: 0, max: 100, value: 50 });
  slider.addEventListener("input", () => frame.style.setProperty("--cut", `${slider.value}%`));
  label.append("By day, or in the evening ", slider);
  frame.after(label);
  under.append(over.querySelector("figcaption"));
  under.classList.add("pair");
  under.style.gridColumn = "1 / -1";
  under.parentElement.prepend(under);
  over.remove();
})();
