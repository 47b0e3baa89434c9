// The list of plans: one is taken away after a second question.
import { say, sayRefused, send } from "./page.js";

const sure = document.getElementById("sure");
let row = null;

for (const button of document.querySelectorAll(".away")) {
  button.addEventListener("click", () => {
    row = button.closest("[data-plan]");
    const title = row.querySelector("h2").textContent.trim();
    document.getElementById("sure-words").textContent =
      `Take away "${title}", kept as ${row.dataset.plan}? Its PDF, pictures and report go with it.`;
    sure.showModal();
    document.getElementById("sure-no").focus();
  });
}

if (sure) {
  document.getElementById("sure-no").addEventListener("click", () => sure.close());
  document.getElementById("sure-yes").addEventListener("click", async () => {
    sure.close();
    try {
      const answer = await send(`/plans/${encodeURIComponent(row.dataset.plan)}/away`, { sure: true });
      const next = row.nextElementSibling || row.previousElementSibling;
      row.remove();
      if (next) next.querySelector("a, button").focus();
      else location.reload();
      say(answer.said, "well");
    } catch (error) {
      sayRefused(error);
    }
  });
}
