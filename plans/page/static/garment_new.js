// Beginning a garment: copies and files.
import { clearFindings, handIn, say, sayRefused, send } from "./page.js";

const copy = document.getElementById("copy-form");
copy.addEventListener("submit", async (event) => {
  event.preventDefault();
  clearFindings(copy);
  try {
    const from = encodeURIComponent(copy.querySelector("#from").value);
    location.assign((await send(`/garments/${from}/copy`, { to: copy.querySelector("#to").value })).go);
  } catch (error) {
    sayRefused(error, copy);
  }
});

const drawing = document.getElementById("drawing-form");
drawing.addEventListener("submit", async (event) => {
  event.preventDefault();
  clearFindings(drawing);
  const file = drawing.querySelector("input").files[0];
  if (!file) return;
  say(`${file.name} is read ...`);
  try {
    location.assign((await handIn(`/new/garment/files/${encodeURIComponent(file.name)}`, file)).go);
  } catch (error) {
    sayRefused(error, drawing);
  }
});
