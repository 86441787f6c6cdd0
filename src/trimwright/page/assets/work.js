// The steps of the work in the room to turn round: what is up after a step is shown, what goes up in it stands out.
"use strict";
(() => {
  const viewer = document.getElementById("viewer"), line = document.getElementById("room-stage");
  if (!viewer.classList.contains("ready")) return; // the steps and their small views stay
  const steps = [...document.querySelectorAll(".work > li")];
  const piecesOf = (step) => step.dataset.pieces.split(" ").filter(Boolean);
  document.querySelector(".work").classList.add("ready");
  let at = -1;

  function show(number) {
    at = number;
    const step = steps[at];
    for (const one of steps) one.classList.toggle("chosen", one === step);
    line.hidden = !step;
    if (step) line.querySelector("output").textContent = `The room after step ${step.querySelector("h3").textContent}`;
    line.querySelector("[data-to='-1']").disabled = at <= 0;
    line.querySelector("[data-to='1']").disabled = at >= steps.length - 1;
    const detail = step && {
      up: new Set(steps.slice(0, at + 1).flatMap(piecesOf)),
      fresh: new Set(piecesOf(step)),
    };
    document.dispatchEvent(new CustomEvent("room-stage", { detail }));
  }

  for (const button of line.querySelectorAll("button")) {
    button.addEventListener("click", () => show(button.dataset.to === "0" ? -1 : at + Number(button.dataset.to)));
  }
  for (const button of document.querySelectorAll("button[data-step]")) {
    button.addEventListener("click", () => {
      show(Number(button.dataset.step) - 1);
      document.getElementById("turn").scrollIntoView();
    });
  }

  // The page loaded anew shows the step that it showed, as long as the tab is open.
  const PLACE = `step ${location.pathname}`;
  addEventListener("pagehide", () => {
    try {
      sessionStorage.setItem(PLACE, at);
    } catch { /* then it begins with the whole room */ }
  });
  try {
    const before = Number(sessionStorage.getItem(PLACE) ?? -1);
    if (steps[before]) show(before);
  } catch { /* nothing is remembered */ }
})();
