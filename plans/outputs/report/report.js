
"use strict";
/* The view for the cutting table: one step at a time. The report is complete without it. */
(function () {
  const root = document.documentElement;
  const table = document.getElementById("table");
  const cards = Array.from(table.querySelectorAll(".card"));
  const links = Array.from(table.querySelectorAll(".all a"));
  const ticks = Array.from(table.querySelectorAll(".tick input"));
  const widths = Array.from(table.querySelectorAll(".width"));
  const progress = document.getElementById("progress");
  const spoken = document.getElementById("spoken");
  const counted = document.getElementById("counted");
  const previous = document.getElementById("previous");
  const next = document.getElementById("next");
  const shelf = "laywright:" + table.dataset.plan;
  let now = 0;

  /* What was ticked, measured and seen last. Without storage it lasts as long as the page. */
  let kept = { ticked: [], measured: {}, step: 0 };
  try {
    const read = JSON.parse(localStorage.getItem(shelf));
    if (read !== null) {
      kept = {
        ticked: Array.isArray(read.ticked) ? read.ticked : [],
        measured: Object(read.measured),
        step: Number.isInteger(read.step) ? read.step : 0,
      };
    }
  } catch (error) { /* A browser that keeps nothing, or a damaged note. */ }

  function keep() {
    kept.ticked = ticks.filter((tick) => tick.checked).map((tick) => tick.id);
    kept.step = now;
    try {
      localStorage.setItem(shelf, JSON.stringify(kept));
    } catch (error) { /* As above. */ }
  }

  function done(card) {
    return Array.from(card.querySelectorAll(".tick input")).every((tick) => tick.checked);
  }

  /* Show what is ticked: cut pieces are gone from the lay, steps that are done have a mark. */
  function tell() {
    const cuts = ticks.filter((tick) => "cuts" in tick.dataset);
    for (const tick of cuts) {
      document.getElementById(tick.dataset.cuts).classList.toggle("gone", tick.checked);
    }
    links.forEach((link, k) => link.classList.toggle("done", done(cards[k])));
    const cut = cuts.filter((tick) => tick.checked).length;
    progress.textContent = "Step " + (now + 1) + " of " + cards.length;
    spoken.textContent = ": " + links[now].textContent;
    counted.textContent = cut + " of " + cuts.length + " cut";
    previous.disabled = now === 0;
    next.disabled = now === cards.length - 1;
  }

  function go(step) {
    const before = now;
    now = Math.min(Math.max(step, 0), cards.length - 1);
    cards[before].classList.remove("now");
    cards[before].parentElement.classList.remove("now");
    cards[now].classList.add("now");
    cards[now].parentElement.classList.add("now");
    links.forEach((link, k) => {
      if (k === now) link.setAttribute("aria-current", "step");
      else link.removeAttribute("aria-current");
    });
    tell();
    keep();
    if (before !== now) scrollTo(0, 0);
  }

  /* The address says what is shown, so that a step can be kept and gone back to. */
  function follow() {
    const step = /^#step-(\d+)$/.exec(location.hash);
    const view = step || location.hash === "#table" ? "table" : "plan";
    root.dataset.view = view;
    if (view === "table") go(step ? Number(step[1]) - 1 : now);
    scrollTo(0, 0);
  }

  function turn(by) {
    const step = Math.min(Math.max(now + by, 0), cards.length - 1);
    if (step === now) return;
    try {
      history.replaceState(null, "", "#step-" + (step + 1));
    } catch (error) { /* A page in a page may not. */ }
    go(step);
  }

  /* A width as a tape shows it, in mm: 142.5, 142,5, 56 1/2, 56-1/2, 1.42 m, 56 in; else null. */
  function read(text, unit) {
    const found =
      /^\s*(?:(\d+)[\s-]+)?(\d+)\s*\/\s*(\d+)\s*(mm|cm|m|in|")?\s*$/.exec(text) ||
      /^\s*(\d+(?:[.,]\d+)?|[.,]\d+)()()\s*(mm|cm|m|in|")?\s*$/.exec(text);
    if (found === null) return null;
    const per = { mm: 1, cm: 10, m: 1000, in: 25.4, "\"": 25.4 }[found[4] || unit];
    const value = found[3]
      ? Number(found[1] || 0) + Number(found[2]) / Number(found[3])
      : Number(found[1].replace(",", "."));
    return Number.isFinite(value) ? (value > 0 ? value * per : null) : null;
  }

  function judge(box) {
    const text = box.querySelector("input").value.trim();
    const width = read(text, box.dataset.unit);
    const least = (limit) => width >= Number(box.dataset[limit]);
    let answer = "unread";
    if (width !== null) {
      answer = least("farWider") ? "far-wider" : least("wider") ? "wider"
        : least("enough") ? "enough" : least("narrowest") ? "narrower" : "too-narrow";
    }
    for (const words of box.querySelectorAll("[data-answer]")) {
      words.hidden = text === "" || words.dataset.answer !== answer;
      words.classList.toggle("warning", !["enough", "wider"].includes(answer));
    }
    const stop = text !== "" ? ["narrower", "too-narrow"].includes(answer) : false;
    box.closest(".lay").querySelector(".stop").hidden = !stop;
    const tick = box.closest(".card").querySelector(".tick input");
    tick.disabled = stop;
    if (text !== "") tick.checked = ["enough", "wider"].includes(answer);
    kept.measured[box.closest(".card").id] = text;
    tell();
    keep();
  }

  for (const box of widths) {
    const field = box.querySelector("input");
    box.querySelector("button").addEventListener("click", () => judge(box));
    field.addEventListener("change", () => judge(box));
    field.addEventListener("keydown", (event) => {
      if (event.key === "Enter") judge(box);
    });
  }
  for (const tick of ticks) {
    tick.addEventListener("change", () => {
      tell();
      keep();
    });
  }
  previous.addEventListener("click", () => turn(-1));
  next.addEventListener("click", () => turn(1));
  document.getElementById("clear").addEventListener("click", () => {
    if (!confirm("Take away all ticks and measured widths of this plan?")) return;
    for (const tick of ticks) tick.checked = false;
    for (const box of widths) {
      box.querySelector("input").value = "";
      judge(box);
    }
    tell();
    keep();
  });

  document.addEventListener("keydown", (event) => {
    if (root.dataset.view !== "table") return;
    if (event.altKey || event.ctrlKey || event.metaKey || event.shiftKey) return;
    if (event.target.matches("input[type=text]")) return;
    if (event.key === "ArrowRight" || event.key === "PageDown") turn(1);
    else if (event.key === "ArrowLeft" || event.key === "PageUp") turn(-1);
    else return;
    event.preventDefault();
  });

  /* A swipe is long, level and of one finger; what scrolls sideways by itself is left alone. */
  let from = null;
  table.addEventListener("touchstart", (event) => {
    const lone = event.touches.length === 1;
    const taken = event.target.closest("input, .scrolling");
    from = lone ? (taken ? null : event.touches[0]) : null;
  }, { passive: true });
  table.addEventListener("touchend", (event) => {
    if (from === null) return;
    const to = event.changedTouches[0];
    const across = to.clientX - from.clientX;
    const level = Math.abs(across) > 2 * Math.abs(to.clientY - from.clientY);
    from = null;
    if (level) {
      if (Math.abs(across) > 60) turn(across > 0 ? -1 : 1);
    }
  }, { passive: true });

  for (const part of document.querySelectorAll(".scripted")) part.hidden = false;
  for (const tick of ticks) tick.checked = kept.ticked.includes(tick.id);
  now = Math.min(Math.max(kept.step, 0), cards.length - 1);
  for (const box of widths) {
    const text = kept.measured[box.closest(".card").id];
    if (typeof text === "string") {
      box.querySelector("input").value = text;
      if (text !== "") judge(box);
    }
  }
  addEventListener("hashchange", follow);
  follow();
}());
