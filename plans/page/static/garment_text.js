// The text of a garment file, judged as it is typed.
import { clearFindings, sayRefused, send } from "./page.js";

const form = document.getElementById("text-form");
const area = document.getElementById("text");
const list = document.getElementById("findings");
const where = form.getAttribute("action");
const begun = area.value;
let timer = 0;
let written = false;

async function judge() {
  const { findings } = await send(`${where}/judge`, { text: area.value });
  list.replaceChildren(
    ...(findings.length ? findings : [{ words: "A sound garment; are the figures yours?" }]).map((one) => {
      const line = document.createElement("li");
      if (one.kind) line.className = `finding ${one.kind}`;
      line.dir = "auto";
      line.textContent = (one.line ? `line ${one.line}: ` : "") + one.words;
      return line;
    }),
  );
}

area.addEventListener("input", () => {
  clearTimeout(timer);
  timer = setTimeout(() => judge().catch(() => {}), 300);
});

form.addEventListener("submit", async (event) => {
  event.preventDefault();
  clearFindings(form);
  try {
    const { go } = await send(`${where}/keep`, { text: area.value, seen: form.dataset.seen });
    written = true;
    location.assign(go);
  } catch (error) {
    sayRefused(error, form);
  }
});

addEventListener("beforeunload", (event) => {
  if (!written && area.value !== begun) event.preventDefault();
});
