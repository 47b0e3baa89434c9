// The list of garments and one garment: taking away, with the way back told at once.
import { send, say, sayRefused } from "./page.js";

for (const form of document.querySelectorAll("form[data-away]")) {
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    try {
      const answer = await send(form.getAttribute("action"));
      sessionStorage.setItem("taken-away", JSON.stringify([form.dataset.away, { aside: answer.aside }]));
      location.assign(answer.go);
    } catch (error) {
      sayRefused(error);
    }
  });
}

const gone = sessionStorage.getItem("taken-away");
if (gone && location.pathname === "/garments") {
  sessionStorage.removeItem("taken-away");
  const [name, back] = JSON.parse(gone);
  const box = say(`${name} was taken away.`, "well");
  const button = document.createElement("button");
  button.className = "plain";
  button.textContent = "Bring it back";
  button.addEventListener("click", async () => {
    try {
      location.assign((await send("/garments/brought-back", back)).go);
    } catch (error) {
      sayRefused(error);
    }
  });
  box.append(button);
  button.focus();
}
